import type { Finding } from '../result.js';

export const warning = (code: Finding['code'], values: Finding['values'] = {}): Finding => ({
  code,
  severity: 'warning',
  values,
});

export const note = (code: Finding['code'], values: Finding['values'] = {}): Finding => ({
  code,
  severity: 'note',
  values,
});
