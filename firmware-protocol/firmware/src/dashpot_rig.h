#pragma once

/** The rig's firmware. A program calls dashpot::begin() once and dashpot::run() for ever. */

#include "options.h"

#if defined(__AVR_ATmega328P__)
#include "boards/atmega328p/board.h"
namespace dashpot {
using ThisBoard = atmega328p::Board;
}
#else
#include "boards/ide_core/board.h"
namespace dashpot {
using ThisBoard = ide_core::Board;
}
#endif

#include "core/rig.h"

namespace dashpot {

static Rig<ThisBoard> rig;

inline void begin() {
  ThisBoard::begin();
  rig.begin();
}

inline void run() {
  rig.step();
  ThisBoard::feed_watchdog();
  ThisBoard::rest();
}

}  // namespace dashpot
