export type ProtocolErrorCode = 'unencodable-field' | 'line-too-long';

/** A caller asked for a line that cannot exist. Bytes that cannot be read are never errors, they are skipped lines. */
export class ProtocolError extends Error {
  readonly code: ProtocolErrorCode;

  constructor(code: ProtocolErrorCode, message: string) {
    super(message);
    this.name = 'ProtocolError';
    this.code = code;
  }
}
