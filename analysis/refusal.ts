/** Why a question cannot be answered from what was given: a value, never thrown. */
export interface Refusal<Code extends string> {
  readonly code: Code;
  /** What was given or came out, in words and numbers with units. */
  readonly found: string;
  /** What would have been accepted. */
  readonly wanted: string;
}
