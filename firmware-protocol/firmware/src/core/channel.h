#pragma once
#include <stdint.h>

#include "words.h"

namespace dashpot {

/** A sample as a board takes it. */
struct Sample {
  uint32_t stamp_us;
  int32_t counts;
};

/** What a board says of a channel; the rate is apart, since a `RATE` command may change it. */
struct Channel {
  Kind kind;
  Unit unit;
  int32_t counts_min;
  int32_t counts_max;
  int32_t delay_us;
  Kernel kernel;
};

}  // namespace dashpot
