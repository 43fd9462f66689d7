#pragma once
#include <avr/io.h>

#include "../../core/i2c_sensors.h"
#include "../../core/turns.h"
#include "bus_reads.h"
#include "two_wire_bus.h"

/** Position by a 12-bit magnetic angle sensor on I2C, asked by the timer at the wanted rate. */
namespace dashpot {
namespace atmega328p {

constexpr uint32_t position_slowest_mHz = 31000;
constexpr uint32_t position_fastest_mHz = 1000000;

static BusRead angle_read = {angle_sensor::device, angle_sensor::raw_angle, {}, 0, false};

inline void start_position() {
  uint8_t settings = 0;
  // Other bits hold the maker's own settings. Without a sensor the bus stays unanswered and no samples will come.
  if (read_register(angle_sensor::device, angle_sensor::settings, settings))
    write_register(angle_sensor::device, angle_sensor::settings,
                   static_cast<uint8_t>((settings & ~angle_sensor::filter_bits) | angle_sensor::filter));
}

inline void begin_position() { ask_bus(angle_read); }

inline bool position_waits() { return angle_read.done; }

inline bool take_position(Sample& sample) {
  static Turns turns;
  uint16_t bytes = 0;
  Moment moment;
  if (!take_read(angle_read, bytes, moment)) return false;
  sample = {moment.us(), turns.add(bytes & angle_sensor::angle_bits)};
  return true;
}

constexpr Channel position_channel = angle_sensor::channel;

}  // namespace atmega328p
}  // namespace dashpot
