#pragma once
#include <stdint.h>

#include "stamp.h"
#include "words.h"

namespace dashpot {

/** What the drive may bear. */
struct Limits {
  uint32_t lease_us;
  /** Nominal time between two conversions of the load cell. */
  uint32_t conversion_us;
  /** The converter's own limits. */
  int32_t counts_min;
  int32_t counts_max;
  /** Loads, in counts, beyond which the drive must stop. */
  int32_t lowest_load_counts;
  int32_t highest_load_counts;
};

/** Why the drive must stop, or that it need not. */
struct Trip {
  bool happened;
  Event event;
  int32_t value;
};

/**
 * The watch over a turning drive, as PROTOCOL.md asks for it: the host's lease, the load, and whether the load can
 * still be watched. It says once that the drive must stop and then sleeps until the drive is engaged again.
 * It limits damage. It does not replace a hard-wired stop that cuts the drive's power.
 */
class Guard {
 public:
  explicit Guard(const Limits& limits) : limits_(limits) {}

  bool engaged() const { return engaged_; }

  /** The drive turns from now on, or at another speed. */
  void engage(uint32_t now_us) {
    if (!engaged_) last_force_us_ = now_us;
    engaged_ = true;
    heard_us_ = now_us;
  }

  void release() { engaged_ = false; }

  /** The host was heard. */
  void renew(uint32_t now_us) { heard_us_ = now_us; }

  /** Looks at a conversion of the load cell, whether the drive turns or not: equal ones are counted from the first. */
  Trip look_at_force(uint32_t now_us, int32_t counts) {
    last_force_us_ = now_us;
    if (counts != last_counts_) equal_ = 0;
    if (equal_ < stuck_samples) equal_++;
    last_counts_ = counts;
    if (!engaged_) return no_trip();
    if (counts <= limits_.counts_min || counts >= limits_.counts_max) return fault(SensorFault::saturated);
    if (equal_ >= stuck_samples) return fault(SensorFault::stuck);
    if (counts < limits_.lowest_load_counts || counts > limits_.highest_load_counts)
      return trip(Event::overload, counts);
    return no_trip();
  }

  /** Looks at the clock, at least once a millisecond. */
  Trip look_at_time(uint32_t now_us) {
    if (!engaged_) return no_trip();
    const uint32_t unheard_us = since_us(heard_us_, now_us);
    if (unheard_us >= limits_.lease_us) return trip(Event::lease_lost, static_cast<int32_t>(unheard_us / 1000));
    if (since_us(last_force_us_, now_us) > 3 * limits_.conversion_us) return fault(SensorFault::missing);
    return no_trip();
  }

 private:
  /** So many equal conversions in a row mean a broken wire: a converter of this class has noise of tens of counts. */
  static constexpr uint8_t stuck_samples = 16;

  static Trip no_trip() { return {false, Event::boot, 0}; }

  Trip trip(Event event, int32_t value) {
    engaged_ = false;
    return {true, event, value};
  }

  Trip fault(SensorFault fault) { return trip(Event::sensor_fault, static_cast<int32_t>(fault)); }

  const Limits limits_;
  bool engaged_ = false;
  uint32_t heard_us_ = 0;
  uint32_t last_force_us_ = 0;
  int32_t last_counts_ = 0;
  uint8_t equal_ = 0;
};

}  // namespace dashpot
