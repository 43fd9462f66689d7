#pragma once
#include <avr/io.h>
#include <stdint.h>

/**
 * Where everything is wired on an ATmega328P board, with the names most boards print beside their pins:
 *
 *   8   PB0  converter data (the timer's capture input, so no other)
 *   4   PD4  converter clock
 *   A0  PC0  slide, wiper
 *   A4  PC4  angle sensor and thermometer, SDA
 *   A5  PC5  angle sensor and thermometer, SCL
 *   3   PD3  motor driver, power (PWM)
 *   7   PD7  motor driver, enable
 *   2   PD2  stop button, normally closed to ground
 *   5   PD5  end switch 1, normally closed to ground
 *   6   PD6  end switch 2, normally closed to ground
 *   9   PB1  re-arm button, normally open to ground
 */
namespace dashpot {
namespace atmega328p {

constexpr uint8_t converter_data = 1 << PB0;
constexpr uint8_t converter_clock = 1 << PD4;
constexpr uint8_t slide_channel = 0;
constexpr uint8_t motor_power = 1 << PD3;
constexpr uint8_t motor_enable = 1 << PD7;
constexpr uint8_t stop_button = 1 << PD2;
constexpr uint8_t end_switch[] = {1 << PD5, 1 << PD6};
constexpr uint8_t rearm_button = 1 << PB1;

}  // namespace atmega328p
}  // namespace dashpot
