#pragma once
#include <util/atomic.h>

#include "../../core/i2c_sensors.h"
#include "../../options.h"
#include "bus_reads.h"

/** A digital thermometer on I2C, asked once a second. */
namespace dashpot {
namespace atmega328p {

static BusRead temperature_read = {RIG_THERMOMETER_DEVICE, thermometer::temperature, {}, 0, false};

/** Call once for each millisecond. */
inline void pace_thermometer() {
  static uint16_t wait_ms = 0;
  if (++wait_ms < 1000000 / thermometer::rate_mHz) return;
  wait_ms = 0;
  ATOMIC_BLOCK(ATOMIC_FORCEON) { ask_bus(temperature_read); }
}

inline bool take_reading(Sample& sample) {
  uint16_t bytes = 0;
  Moment moment;
  if (!take_read(temperature_read, bytes, moment)) return false;
  sample = {moment.us(), thermometer::mdegC(bytes)};
  return true;
}

}  // namespace atmega328p
}  // namespace dashpot
