#pragma once
#include <stdint.h>

namespace dashpot {

/** CRC-16/IBM-3740 of no bytes at all. */
constexpr uint16_t checksum_of_nothing = 0xFFFF;

/**
 * The checksum with one more byte. The polynomial has four terms, so eight of its steps at once are four shifts:
 * no loop, no table.
 */
inline uint16_t checksum_with(uint16_t checksum, uint8_t byte) {
  uint8_t mixed = static_cast<uint8_t>(checksum >> 8) ^ byte;
  mixed ^= static_cast<uint8_t>(mixed >> 4);
  const uint16_t wide = mixed;
  return static_cast<uint16_t>((checksum << 8) ^ (wide << 12) ^ (wide << 5) ^ wide);
}

/** The checksum of bytes from[0, length). */
inline uint16_t checksum_of(const char* from, uint8_t length) {
  uint16_t checksum = checksum_of_nothing;
  while (length-- > 0) checksum = checksum_with(checksum, static_cast<uint8_t>(*from++));
  return checksum;
}

/** Four upper-case hexadecimal digits; at[0, 4) is written. */
inline void write_hex(char* at, uint16_t value) {
  for (int8_t digit = 3; digit >= 0; digit--) {
    const uint8_t nibble = value & 0x0F;
    at[digit] = static_cast<char>(nibble < 10 ? '0' + nibble : 'A' + (nibble - 10));
    value = static_cast<uint16_t>(value >> 4);
  }
}

}  // namespace dashpot
