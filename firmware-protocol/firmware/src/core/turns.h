#pragma once
#include <stdint.h>

namespace dashpot {

/** Lets a 12-bit angle count on past a full turn, so that a lever may cross the sensor's zero. */
class Turns {
 public:
  /** @param angle 0 to 4095; no further than half a turn from the one before */
  int32_t add(uint16_t angle) {
    // The shorter way round, as a signed number of 12 bits.
    const uint16_t ahead = static_cast<uint16_t>(static_cast<uint16_t>(angle - last_) << 4);
    const int16_t step = static_cast<int16_t>(ahead) / 16;
    counts_ = begun_ ? counts_ + step : angle;
    begun_ = true;
    last_ = angle;
    return counts_;
  }

 private:
  int32_t counts_ = 0;
  uint16_t last_ = 0;
  bool begun_ = false;
};

}  // namespace dashpot
