#pragma once
#include <stdint.h>

namespace dashpot {

/**
 * Bytes from one writer to one reader, of which either may be an interrupt: each owns one index, one byte wide, so
 * that no controller can read half of it. Everything is volatile so that a byte is stored before the index says so.
 * @tparam size a power of two, at most 256; one place stays empty
 */
template <uint16_t size>
class ByteRing {
  static_assert(size >= 2 && size <= 256 && (size & (size - 1)) == 0, "wanted a power of two, at most 256");

 public:
  bool empty() const { return head_ == tail_; }

  /** How many bytes can be put. */
  uint8_t room() const { return static_cast<uint8_t>(tail_ - head_ - 1) & mask; }

  /** Puts a byte; the caller has seen that there is room. */
  void put(uint8_t byte) {
    const uint8_t head = head_;
    bytes_[head] = byte;
    head_ = (head + 1) & mask;
  }

  /** Takes a byte; the caller has seen that there is one. */
  uint8_t take() {
    const uint8_t tail = tail_;
    const uint8_t byte = bytes_[tail];
    tail_ = (tail + 1) & mask;
    return byte;
  }

 private:
  static constexpr uint8_t mask = size - 1;
  volatile uint8_t bytes_[size];
  volatile uint8_t head_ = 0;
  volatile uint8_t tail_ = 0;
};

}  // namespace dashpot
