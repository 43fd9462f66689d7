#pragma once
#include <stdint.h>

namespace dashpot {

/** Longest decimal of an unsigned 32-bit number. */
constexpr uint8_t most_digits = 10;

/**
 * Writes a number in its one spelling: no leading zeros. Counts each power of ten off by subtraction, since a small
 * controller divides ten times slower than it subtracts.
 * @param at room for `most_digits`
 * @return the end of what was written
 */
inline char* write_decimal(char* at, uint32_t value) {
  static constexpr uint32_t powers[] = {1000000000, 100000000, 10000000, 1000000, 100000, 10000, 1000, 100, 10};
  bool begun = false;
  for (const uint32_t power : powers) {
    char digit = '0';
    while (value >= power) {
      value -= power;
      digit++;
    }
    begun = begun || digit != '0';
    if (begun) *at++ = digit;
  }
  *at++ = static_cast<char>('0' + value);
  return at;
}

/** Writes a number with a minus sign where it is below zero; at most one character more than `most_digits`. */
inline char* write_signed(char* at, int32_t value) {
  if (value >= 0) return write_decimal(at, static_cast<uint32_t>(value));
  *at++ = '-';
  return write_decimal(at, 0u - static_cast<uint32_t>(value));
}

/**
 * Reads text[0, length) as a number in its one spelling.
 * @return whether it is one, of at most `greatest`; `value` is written only then
 */
inline bool read_decimal(const char* text, uint8_t length, uint32_t greatest, uint32_t& value) {
  if (length == 0 || length > most_digits || (text[0] == '0' && length > 1)) return false;
  uint32_t sum = 0;
  for (uint8_t i = 0; i < length; i++) {
    const uint8_t digit = static_cast<uint8_t>(text[i] - '0');
    if (digit > 9 || sum > UINT32_MAX / 10) return false;
    sum *= 10;
    if (sum > UINT32_MAX - digit) return false;
    sum += digit;
  }
  if (sum > greatest) return false;
  value = sum;
  return true;
}

}  // namespace dashpot
