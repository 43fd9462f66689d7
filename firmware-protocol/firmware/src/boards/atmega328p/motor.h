#pragma once
#include <avr/io.h>
#include <stdint.h>

#include "pins.h"

/**
 * The motor driver: a power input, pulsed at 3.9 kHz by timer 2, and an enable input. Both are low without power; at
 * a reset the pins float, so each needs a pull-down of its own (10 kOhm) at the driver.
 */
namespace dashpot {
namespace atmega328p {

inline void start_motor() {
  PORTD &= static_cast<uint8_t>(~(motor_power | motor_enable));
  DDRD |= motor_power | motor_enable;
  OCR2B = 0;
  TCCR2A = 1 << WGM20;
  TCCR2B = 1 << CS21;
}

/** 0 is off at once: the pin is taken from the timer, which would finish its pulse. */
inline void power_motor(uint8_t power) {
  if (power == 0) {
    PORTD &= static_cast<uint8_t>(~motor_enable);
    TCCR2A = 1 << WGM20;
    OCR2B = 0;
    return;
  }
  OCR2B = power;
  TCCR2A = 1 << COM2B1 | 1 << WGM20;
  PORTD |= motor_enable;
}

}  // namespace atmega328p
}  // namespace dashpot
