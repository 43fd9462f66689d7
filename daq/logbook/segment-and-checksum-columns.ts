/**
 * A step of the schema. A recording may go on from an interrupted one; a block carries the CRC-32 of its bytes, times
 * first, since SQLite itself does not notice a damaged byte inside a value. Blocks from before have none.
 */
export const SEGMENT_AND_CHECKSUM_COLUMNS = `
ALTER TABLE recording ADD COLUMN continues_recording_id INTEGER REFERENCES recording;
ALTER TABLE block ADD COLUMN crc32 INTEGER;
`;
