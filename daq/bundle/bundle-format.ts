/** What a bundle calls itself. A version, once released, is read for ever. */
export const BUNDLE_FORMAT = 'dashpot-bench recording';
export const BUNDLE_VERSION = 1;
export const DESCRIPTION_FILE = 'recording.json';
