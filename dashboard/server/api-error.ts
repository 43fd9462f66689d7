/** Every answer that is not a success. */
export interface ApiError {
  readonly code: string;
  readonly found: string;
  readonly wanted: string;
  /** The part of the request or the device meant: `body.procedure`, `port /dev/ttyACM0`. */
  readonly where: string;
}
