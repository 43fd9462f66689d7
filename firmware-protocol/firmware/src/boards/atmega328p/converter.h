#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include <util/delay_basic.h>

#include "../../core/channel.h"
#include "../../options.h"
#include "clock.h"
#include "pins.h"

/**
 * A two-wire 24-bit load-cell converter. Its data line falls when a conversion is done: the timer captures that edge,
 * whatever else runs. The conversion is then shifted out from the main loop, most significant bit first.
 * Source: datasheet of the common part: clock high 0.2 to 50 us (over 60 us powers it down), low 0.2 us at least, data
 * valid 0.1 us after the rising edge.
 */
namespace dashpot {
namespace atmega328p {

static volatile bool conversion_done = false;
static Moment conversion_moment;

inline void start_converter() {
  PORTD &= static_cast<uint8_t>(~converter_clock);
  DDRD |= converter_clock;
  // With the pull-up a broken wire never falls, which the guard knows as missing conversions.
  DDRB &= static_cast<uint8_t>(~converter_data);
  PORTB |= converter_data;
  TIFR1 = 1 << ICF1;
  TIMSK1 |= 1 << ICIE1;
}

/** One clock pulse. @return the bit it brought. Interrupts wait while the clock is high, and only then. */
inline uint8_t clock_bit() {
  ATOMIC_BLOCK(ATOMIC_FORCEON) {
    PORTD |= converter_clock;
    __builtin_avr_delay_cycles(5);
    PORTD &= static_cast<uint8_t>(~converter_clock);
  }
  return (PINB & converter_data) != 0;
}

inline uint8_t clock_byte() {
  uint8_t byte = 0;
  for (uint8_t i = 0; i < 8; i++) byte = static_cast<uint8_t>(byte << 1) | clock_bit();
  return byte;
}

inline bool take_conversion(Sample& sample) {
  if (!conversion_done) return false;
  Moment moment;
  ATOMIC_BLOCK(ATOMIC_FORCEON) {
    moment = conversion_moment;
    conversion_done = false;
    // The data line now moves with every bit.
    TIMSK1 &= static_cast<uint8_t>(~(1 << ICIE1));
  }
  const uint8_t high = clock_byte();
  const uint8_t middle = clock_byte();
  const uint8_t low = clock_byte();
  for (uint8_t i = 24; i < RIG_CONVERTER_PULSES; i++) clock_bit();
  TIFR1 = 1 << ICF1;
  TIMSK1 |= 1 << ICIE1;
  const uint8_t sign = high & 0x80 ? 0xFF : 0;
  sample.counts = static_cast<int32_t>(static_cast<uint32_t>(static_cast<uint16_t>(sign << 8 | high)) << 16 |
                                       static_cast<uint16_t>(middle << 8 | low));
  sample.stamp_us = moment.us();
  return true;
}

}  // namespace atmega328p
}  // namespace dashpot

ISR(TIMER1_CAPT_vect) {
  dashpot::atmega328p::conversion_moment = dashpot::atmega328p::moment_at(ICR1);
  dashpot::atmega328p::conversion_done = true;
}
