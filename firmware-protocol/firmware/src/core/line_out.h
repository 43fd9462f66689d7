#pragma once
#include <stdint.h>

#include "checksum.h"
#include "decimal.h"
#include "words.h"

namespace dashpot {

/** One line on its way to the host, composed in place: `begin`, its fields in their order, `seal`. */
class LineOut {
 public:
  void begin(char type, uint16_t sequence) {
    end_ = text_;
    *end_++ = type;
    number(sequence);
  }

  void number(uint32_t value) {
    *end_++ = ',';
    end_ = write_decimal(end_, value);
  }

  void integer(int32_t value) {
    *end_++ = ',';
    end_ = write_signed(end_, value);
  }

  /** A word of one of the protocol's lists. */
  template <class Value>
  void word(const Word* words, Value value) {
    *end_++ = ',';
    const char* from = words[static_cast<uint8_t>(value)];
    for (char c; (c = static_cast<char>(DASHPOT_FLASH_BYTE(from))) != 0; from++) *end_++ = c;
  }

  /** A name of at most 32 characters that the protocol allows, in flash like the words. */
  void name(const char* from) {
    *end_++ = ',';
    for (char c; (c = static_cast<char>(DASHPOT_FLASH_BYTE(from))) != 0; from++) *end_++ = c;
  }

  /** Ends the line. @return its length with checksum and newline */
  uint8_t seal() {
    const uint16_t checksum = checksum_of(text_, static_cast<uint8_t>(end_ - text_));
    *end_ = '*';
    write_hex(end_ + 1, checksum);
    end_[5] = '\n';
    return static_cast<uint8_t>(end_ + 6 - text_);
  }

  const char* text() const { return text_; }

 private:
  char text_[max_line_bytes + 1];
  char* end_ = text_;
};

}  // namespace dashpot
