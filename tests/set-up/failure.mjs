/** Set-up cannot go on; the message is the one line that says what to do. */
export class SetUpFailure extends Error {}
