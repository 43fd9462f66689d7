#pragma once
#include "../../core/i2c_sensors.h"
#include "../../core/turns.h"
#include "bus.h"

/** Position by a 12-bit magnetic angle sensor on I2C. */
namespace dashpot {
namespace ide_core {

inline void start_position() {
  uint16_t bytes = 0;
  uint32_t stamp_us = 0;
  // Other bits hold the maker's own settings. Without a sensor no samples will come.
  if (!read_bus(angle_sensor::device, angle_sensor::settings, bytes, stamp_us)) return;
  const uint8_t settings = static_cast<uint8_t>(bytes >> 8);
  Wire.beginTransmission(angle_sensor::device);
  Wire.write(angle_sensor::settings);
  Wire.write(static_cast<uint8_t>((settings & ~angle_sensor::filter_bits) | angle_sensor::filter));
  Wire.endTransmission();
}

inline bool read_position(Sample& sample) {
  static Turns turns;
  uint16_t bytes = 0;
  if (!read_bus(angle_sensor::device, angle_sensor::raw_angle, bytes, sample.stamp_us)) return false;
  sample.counts = turns.add(bytes & angle_sensor::angle_bits);
  return true;
}

constexpr Channel position_channel = angle_sensor::channel;

}  // namespace ide_core
}  // namespace dashpot
