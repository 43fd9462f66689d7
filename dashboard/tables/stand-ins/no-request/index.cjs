'use strict';

/** Refuses what danfojs would fetch: this program works offline and tables are made from rows in memory. */
function refuse() {
  throw new Error('Nothing is fetched over the network here: pass rows to the table functions');
}

module.exports = refuse;
module.exports.get = refuse;
