'use strict';

/** Refuses every call danfojs makes to a workbook library: tables are made from rows in memory and written as CSV. */
function refuse() {
  throw new Error('Workbooks are not read or written here: pass rows to the table functions and write CSV');
}

module.exports = {
  read: refuse,
  readFile: refuse,
  writeFile: refuse,
  utils: { sheet_to_json: refuse, aoa_to_sheet: refuse, book_new: refuse, book_append_sheet: refuse },
};
