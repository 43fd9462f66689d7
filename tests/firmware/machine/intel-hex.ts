/**
 * Reads a program from the text of an Intel HEX file: the record kinds that a 32 KB controller needs.
 * @returns 16 384 words, as the controller fetches them; 0xFFFF where nothing was written
 * @throws Error naming the line whose form or checksum is wrong, or that lies outside the memory
 */
export function programOf(hex: string): Uint16Array<ArrayBuffer> {
  const bytes = new Uint8Array(32_768).fill(0xff);
  for (const [i, line] of hex.split(/\r?\n/).entries()) {
    if (line === '') continue;
    const record = Uint8Array.from(Buffer.from(line.slice(1), 'hex'));
    const length = record[0]!;
    const sum = record.reduce((total, byte) => total + byte, 0) & 0xff;
    if (line[0] !== ':' || record.length !== length + 5 || sum !== 0)
      throw new Error(`line ${i + 1}: found ${line}, wanted a HEX record`);
    const address = record[1]! * 256 + record[2]!;
    const kind = record[3];
    if (kind === 1) return new Uint16Array(bytes.buffer);
    if (kind !== 0 || address + length > bytes.length)
      throw new Error(`line ${i + 1}: found ${line}, wanted data below 32 KB`);
    bytes.set(record.subarray(4, 4 + length), address);
  }
  throw new Error('found no end record');
}
