/** One entry per value of the upper register byte: that byte pushed through the polynomial x^16 + x^12 + x^5 + 1. */
const table = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  return crc;
});

/**
 * The checksum of every line: CRC-16/IBM-3740 (polynomial 0x1021, start 0xFFFF, nothing reflected or inverted).
 * @param bytes any bytes
 * @param start first index, 0 unless told
 * @param end index after the last, the length unless told
 * @returns 0..0xFFFF; 0xFFFF for no bytes, 0x29B1 for the ASCII digits "123456789"
 * @remarks The checksum of a message followed by its own checksum, high byte first, is 0.
 *
 * Source: Catalogue of parametrised CRC algorithms (CRC RevEng), entry CRC-16/IBM-3740.
 */
export function crc16Ibm3740(bytes: Uint8Array, start = 0, end = bytes.length): number {
  let crc = 0xffff;
  for (let i = start; i < end; i++) crc = ((crc << 8) & 0xffff) ^ table[(crc >> 8) ^ bytes[i]];
  return crc;
}
