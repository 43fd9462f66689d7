#pragma once
#include <stdint.h>

namespace dashpot {

/**
 * Microseconds of a 16-bit timer that ticks every half microsecond and whose overflows are counted. Wraps with 32 bits
 * like the protocol's times.
 * @param overflow_pending whether the timer had overflowed when `overflows` was read, without having been counted yet.
 *   Ticks in the lower half then belong to after it. Left out, one stamp in a thousand would be 32.768 ms early.
 * Numerical note: put together from 16-bit halves, because a small controller shifts 32 bits one place at a time.
 */
inline uint32_t stamp_us(uint32_t overflows, uint16_t ticks, bool overflow_pending) {
  if (overflow_pending && ticks < 0x8000) overflows++;
  const uint16_t low = static_cast<uint16_t>(ticks >> 1 | (overflows & 1 ? 0x8000 : 0));
  return static_cast<uint32_t>(static_cast<uint16_t>(overflows >> 1)) << 16 | low;
}

/** Time passed, across a wrap of the clock. */
inline uint32_t since_us(uint32_t then_us, uint32_t now_us) { return now_us - then_us; }

}  // namespace dashpot
