#pragma once
#include <stdint.h>

#include "channel.h"

/** What boards have to know of the sensors on I2C, whichever way they read them. */
namespace dashpot {

/** A 12-bit magnetic angle sensor. Source of addresses and fields: datasheet of the AS5600, its register map. */
namespace angle_sensor {
constexpr uint8_t device = 0x36;
constexpr uint8_t settings = 0x07;
constexpr uint8_t raw_angle = 0x0C;
constexpr uint16_t angle_bits = 0x0FFF;
/** Upper byte of the settings: fast-filter threshold (bits 4 to 2) none, slow filter (bits 1 and 0) 2 values. */
constexpr uint8_t filter_bits = 0x1F;
constexpr uint8_t filter = 0x03;
/**
 * From the angle to the stamp: half of the filter's settling time of 286 us (judgement; the time is from memory). The
 * sensor latches with its address, for both bytes. Check it on your rig with a lag check.
 */
constexpr int32_t delay_us = 143;
constexpr Channel channel = {Kind::position, Unit::counts, INT32_MIN, INT32_MAX, delay_us, Kernel::none};
}  // namespace angle_sensor

/**
 * A digital thermometer of the LM75 kind (LM75, TMP102, TMP75 and others): its first register holds 256ths of a degree
 * as a signed number, upper byte first, with as many of the lower bits as the part has (from memory).
 */
namespace thermometer {
constexpr uint8_t temperature = 0x00;
constexpr uint32_t rate_mHz = 1000;
constexpr Channel channel = {Kind::temperature, Unit::mdegC, -55000, 125000, 0, Kernel::unknown};

/** The register in thousandths of a degree. No part has steps as fine as these, so nothing is lost. */
inline int32_t mdegC(uint16_t bytes) {
  const int32_t twice = static_cast<int16_t>(bytes) * static_cast<int32_t>(125) / 16;
  return (twice + (twice < 0 ? -1 : 1)) / 2;
}
}  // namespace thermometer

}  // namespace dashpot
