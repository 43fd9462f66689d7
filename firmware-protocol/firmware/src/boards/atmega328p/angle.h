#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include <util/twi.h>

#include "../../core/channel.h"
#include "../../options.h"
#include "clock.h"
#include "two_wire_bus.h"

/**
 * A 12-bit magnetic angle sensor on I2C, read by interrupts at the wanted rate. Counts go on past a full turn, so a
 * lever may cross the sensor's zero. Source of addresses and fields: datasheet of the common part, its register map.
 */
namespace dashpot {
namespace atmega328p {

constexpr uint8_t angle_sensor = 0x36;
constexpr uint8_t angle_settings = 0x07;
constexpr uint8_t angle_raw = 0x0C;
/** Upper byte of the settings: fast-filter threshold (bits 4 to 2) none, slow filter (bits 1 and 0) 2 values. */
constexpr uint8_t angle_filter_bits = 0x1F;
constexpr uint8_t angle_filter = 0x03;

/**
 * From the angle to the stamp: half of the filter's settling time of 286 us (judgement; the time is from memory). The
 * sensor latches within a microsecond of the stamp. Check it on your rig with a lag check.
 */
constexpr int32_t angle_delay_us = 143;
constexpr uint32_t position_slowest_mHz = 31000;
constexpr uint32_t position_fastest_mHz = 1000000;

static volatile bool position_done = false;
static Moment angle_moment;
static volatile uint16_t angle_reading;
static volatile bool angle_asked = false;

inline void start_position() {
  start_bus();
  uint8_t settings = 0;
  // Other bits hold the maker's own settings. Without a sensor the bus stays unanswered and no samples will come.
  if (read_register(angle_sensor, angle_settings, settings))
    write_register(angle_sensor, angle_settings,
                   static_cast<uint8_t>((settings & ~angle_filter_bits) | angle_filter));
}

inline void begin_position() {
  // A read that has not ended by now never will.
  if (angle_asked) TWCR = 0;
  angle_asked = true;
  TWCR = 1 << TWINT | 1 << TWSTA | 1 << TWEN | 1 << TWIE;
}

inline bool take_position(Sample& sample) {
  static uint16_t last_angle = 0;
  static int32_t turned_counts = 0;
  static bool turned = false;
  if (!position_done) return false;
  uint16_t angle = 0;
  Moment moment;
  ATOMIC_BLOCK(ATOMIC_FORCEON) {
    angle = angle_reading;
    moment = angle_moment;
    position_done = false;
  }
  // The shorter way round, as a signed number of 12 bits.
  const int16_t step = static_cast<int16_t>((angle - last_angle) << 4) >> 4;
  turned_counts = turned ? turned_counts + step : angle;
  turned = true;
  last_angle = angle;
  sample = {moment.us(), turned_counts};
  return true;
}

constexpr Channel position_channel = {Kind::position, Unit::counts,   INT32_MIN,
                                      INT32_MAX,      angle_delay_us, Kernel::none};

}  // namespace atmega328p
}  // namespace dashpot

ISR(TWI_vect) {
  using namespace dashpot::atmega328p;
  constexpr uint8_t go_on = 1 << TWINT | 1 << TWEN | 1 << TWIE;
  constexpr uint8_t stop = 1 << TWINT | 1 << TWEN | 1 << TWSTO;
  switch (TW_STATUS) {
    case TW_START:
      TWDR = angle_sensor << 1 | TW_WRITE;
      TWCR = go_on;
      return;
    case TW_MT_SLA_ACK:
      TWDR = angle_raw;
      TWCR = go_on;
      return;
    case TW_MT_DATA_ACK:
      TWCR = go_on | 1 << TWSTA;
      return;
    case TW_REP_START:
      TWDR = angle_sensor << 1 | TW_READ;
      TWCR = go_on;
      return;
    case TW_MR_SLA_ACK:
      // The sensor latches the angle now, for both bytes.
      TWCR = go_on | 1 << TWEA;
      angle_moment = moment_at(TCNT1);
      return;
    case TW_MR_DATA_ACK:
      angle_reading = static_cast<uint16_t>((TWDR & 0x0F) << 8);
      TWCR = go_on;
      return;
    case TW_MR_DATA_NACK:
      angle_reading |= TWDR;
      position_done = true;
      break;
    default:
      break;
  }
  TWCR = stop;
  angle_asked = false;
}
