#pragma once
#include <Arduino.h>
#include <Wire.h>
#include <stdint.h>

#include "../../core/stamp.h"

/** Sensors on I2C through the IDE core's own functions, which wait: a read takes about 0.15 ms. */
namespace dashpot {
namespace ide_core {

inline void start_bus() {
  Wire.begin();
  Wire.setClock(400000);
}

/**
 * Reads two bytes, the first one above.
 * @param stamp_us when the device was addressed for reading, within some tens of microseconds: a third of the way
 *   through the reading, which is an address and two bytes
 * @return false when it did not answer
 */
inline bool read_bus(uint8_t device, uint8_t address, uint16_t& bytes, uint32_t& stamp_us) {
  Wire.beginTransmission(device);
  Wire.write(address);
  if (Wire.endTransmission(false) != 0) return false;
  const uint32_t begun_us = micros();
  constexpr uint8_t count = 2;
  if (Wire.requestFrom(device, count) != count) return false;
  stamp_us = begun_us + since_us(begun_us, micros()) / 3;
  bytes = static_cast<uint16_t>(Wire.read() << 8);
  bytes = static_cast<uint16_t>(bytes | Wire.read());
  return true;
}

}  // namespace ide_core
}  // namespace dashpot
