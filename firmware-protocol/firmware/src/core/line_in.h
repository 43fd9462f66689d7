#pragma once
#include <stdint.h>

#include "words.h"

namespace dashpot {

/**
 * Collects bytes up to a newline in bounded memory. One byte more than the longest line is kept, enough to know it
 * for too long; the rest is dropped up to the newline.
 */
class LineIn {
 public:
  /** Takes a byte. @return whether it ended a line, which `text` and `length` then give until the next byte */
  bool add(char byte) {
    if (ended_) length_ = 0;
    ended_ = byte == '\n';
    if (!ended_ && length_ < sizeof text_) text_[length_++] = byte;
    return ended_;
  }

  const char* text() const { return text_; }
  uint8_t length() const { return length_; }

 private:
  char text_[max_line_bytes + 1];
  uint8_t length_ = 0;
  bool ended_ = false;
};

}  // namespace dashpot
