/** Everything this room throws on purpose: misuse and the environment. Bad lines and bad samples are counted, not thrown. */
export type DaqErrorCode = RigFailureCode | InputErrorCode;

/** The rig, its cable or its port failed. */
export type RigFailureCode = (typeof RIG_FAILURE_CODES)[number];
export const RIG_FAILURE_CODES = [
  'port-missing',
  'port-forbidden',
  'port-busy',
  'port-failed',
  'rig-silent',
  'rig-unreadable',
  'rig-foreign',
  'rig-other',
  'rig-unidentified',
  'rig-version',
  'rig-restarted',
  'rig-stopped',
  'load-unsafe',
  'drive-abandoned',
  'command-unanswered',
  'command-refused',
] as const;

/** What a person asked for cannot be done as asked: files, names, logbooks, settings. */
export type InputErrorCode = (typeof INPUT_ERROR_CODES)[number];
export const INPUT_ERROR_CODES = [
  'file-missing',
  'file-unreadable',
  'file-unwritable',
  'file-exists',
  'csv-encoding',
  'csv-header',
  'csv-row',
  'csv-cell',
  'csv-time',
  'csv-too-long',
  'csv-empty',
  'json-invalid',
  'bundle-invalid',
  'photo-refused',
  'logbook-missing',
  'logbook-foreign',
  'logbook-newer',
  'logbook-unwritable',
  'logbook-busy',
  'logbook-damaged',
  'name-taken',
  'unknown-name',
  'wrong-state',
  'speed-out-of-range',
  'no-drive',
  'no-calibration',
  'no-channel',
  'plain-form',
  'not-steady',
  'calibration-refused',
  'over-capacity',
] as const;

export interface DaqErrorDetail {
  /** File, port or setting, as the person named it. */
  readonly where: string;
  /** Line in a file, 1 for the header. */
  readonly line?: number;
  readonly column?: string;
  /** Key in a JSON file, inner ones after a point. */
  readonly key?: string;
  readonly found: string;
  readonly wanted: string;
}

/** A coded error whose message is one line: where, what was found there and what was wanted. */
export class DaqError extends Error {
  readonly code: DaqErrorCode;
  readonly detail: DaqErrorDetail;

  constructor(code: DaqErrorCode, detail: DaqErrorDetail, options?: ErrorOptions) {
    super(messageOf(detail), options);
    this.name = 'DaqError';
    this.code = code;
    this.detail = detail;
  }

  /** True when the rig or a device failed, false when what was asked for cannot be done. */
  get isRigFailure(): boolean {
    return (RIG_FAILURE_CODES as readonly string[]).includes(this.code);
  }
}

function messageOf({ where, line, column, key, found, wanted }: DaqErrorDetail): string {
  const place = [where, line && `line ${line}`, column && `column ${column}`, key && `key ${key}`]
    .filter(Boolean)
    .join(', ');
  return `${place}: found ${found}; wanted ${wanted}`;
}
