#pragma once
#include <stdint.h>

namespace dashpot {

/** A switch that must act: two looks a millisecond apart, so that one spark of the motor is no pressed switch. */
class StopContact {
 public:
  /** Looks at the switch, once a millisecond. @return whether it is pressed */
  bool pressed(bool reads_pressed) {
    const bool both = reads_pressed && before_;
    before_ = reads_pressed;
    return both;
  }

 private:
  bool before_ = false;
};

/** A button that must not act by accident: seen released, then pressed for 50 ms without a break. */
class HeldButton {
 public:
  /** Looks at the button, once a millisecond. @return true once for each time it was held long enough */
  bool was_held(bool reads_pressed) {
    if (!reads_pressed) {
      held_ms_ = 0;
      was_released_ = true;
      return false;
    }
    if (!was_released_ || ++held_ms_ < hold_ms) return false;
    was_released_ = false;
    return true;
  }

 private:
  static constexpr uint8_t hold_ms = 50;
  uint8_t held_ms_ = 0;
  /** A button that is stuck from the start never counts. */
  bool was_released_ = false;
};

}  // namespace dashpot
