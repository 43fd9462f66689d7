#pragma once

/** A board with an ATmega328P at 16 MHz: the most common hobby controller. */

#include <avr/pgmspace.h>
#define DASHPOT_IN_FLASH PROGMEM
#define DASHPOT_FLASH_BYTE(address) pgm_read_byte(address)

#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/atomic.h>

#include "../../core/i2c_sensors.h"
#include "../../core/rig.h"
#include "../../options.h"
#include "clock.h"
#include "converter.h"
#include "motor.h"
#include "pins.h"
#include "reset.h"
#include "serial.h"
#if RIG_POSITION == RIG_SLIDE
#include "slide.h"
#else
#include "angle.h"
#endif
#if RIG_THERMOMETER
#include "thermometer.h"
#endif
#include "two_wire_bus.h"

namespace dashpot {
namespace atmega328p {

static const char firmware_text[] PROGMEM = "dashpot rig 1";
static const char rig_text[] PROGMEM = RIG_NAME;
static_assert(sizeof rig_text > 1 && sizeof rig_text <= 33, "RIG_NAME: wanted 1 to 32 characters");

constexpr uint32_t ticks_per_1000_s = 2000000000;

struct Board {
  static constexpr bool has_drive = RIG_DRIVE;
  static constexpr bool has_thermometer = RIG_THERMOMETER;
  static constexpr uint8_t end_switches = RIG_END_SWITCHES;

  static constexpr Limits limits() {
    return {RIG_LEASE_MS * 1000UL,  static_cast<uint32_t>(1e9 / RIG_CONVERTER_RATE_MHZ),
            counts_min,             counts_max,
            RIG_LOWEST_LOAD_COUNTS, RIG_HIGHEST_LOAD_COUNTS};
  }

  static constexpr DriveRange drive_range() {
    return {RIG_SLOWEST_MHZ, RIG_FASTEST_MHZ, RIG_FULL_POWER_MHZ, RIG_SOFT_START_MS};
  }

  static void begin() {
    if (has_drive) start_motor();
    start_switches();
    start_clock();
    start_converter();
    if (RIG_POSITION == RIG_ANGLE || has_thermometer) start_bus();
    start_position();
    set_rate(Kind::position, RIG_POSITION_RATE_MHZ);
    start_serial();
    // The main loop never takes more than a few milliseconds; a hang must not leave the motor on for long.
    wdt_enable(WDTO_120MS);
    sei();
  }

  static uint32_t now_us() { return atmega328p::now_us(); }
  static int32_t reset_cause() { return cause_of_reset; }

  /** True once for each millisecond. */
  static bool millisecond_passed() {
    if (!tick) return false;
    tick = false;
#if RIG_THERMOMETER
    pace_thermometer();
#endif
    return true;
  }

  static uint8_t room() { return to_host.room(); }
  static void write(const char* bytes, uint8_t length) { atmega328p::write(bytes, length); }
  static bool heard() { return !from_host.empty(); }
  static uint8_t read() { return from_host.take(); }

  static bool take_force(Sample& sample) { return take_conversion(sample); }
  static bool take_position(Sample& sample) { return atmega328p::take_position(sample); }
#if RIG_THERMOMETER
  static bool take_temperature(Sample& sample) { return take_reading(sample); }
#else
  static bool take_temperature(Sample&) { return false; }
#endif

  static void sample_position(bool on) {
    ATOMIC_BLOCK(ATOMIC_FORCEON) {
      OCR1A = TCNT1 + position_ticks;
      TIFR1 = 1 << OCF1A;
      if (on) TIMSK1 |= 1 << OCIE1A;
      else TIMSK1 &= static_cast<uint8_t>(~(1 << OCIE1A));
    }
  }

  /** Takes the nearest rate the board has. @return false when it has none near */
  static bool set_rate(Kind kind, uint32_t rate_mHz) {
    if (kind == Kind::force) return rate_mHz == RIG_CONVERTER_RATE_MHZ;
    if (kind == Kind::temperature) return has_thermometer && rate_mHz == thermometer::rate_mHz;
    if (rate_mHz < position_slowest_mHz || rate_mHz > position_fastest_mHz) return false;
    position_ticks = static_cast<uint16_t>((ticks_per_1000_s + rate_mHz / 2) / rate_mHz);
    return true;
  }

  static uint32_t rate_mHz(Kind kind) {
    if (kind == Kind::force) return RIG_CONVERTER_RATE_MHZ;
    if (kind == Kind::temperature) return thermometer::rate_mHz;
    return (ticks_per_1000_s + position_ticks / 2) / position_ticks;
  }

  static constexpr Channel force_channel() {
    return {Kind::force, Unit::counts, counts_min, counts_max, 0, Kernel::RIG_CONVERTER_KERNEL};
  }
  static constexpr Channel position_channel() { return atmega328p::position_channel; }
  static constexpr Channel temperature_channel() { return thermometer::channel; }
  static const char* firmware_name() { return firmware_text; }
  static const char* rig_name() { return rig_text; }

  static void power(uint8_t power) { power_motor(power); }
  static bool tripped() { return atmega328p::tripped(); }
  static void remember_trip(bool tripped) { atmega328p::remember_trip(tripped); }
  // Normally closed to ground: pressed, or a broken wire, reads high.
  static bool stop_pressed() { return PIND & stop_button; }
  static bool end_pressed(uint8_t index) { return PIND & end_switch[index]; }
  static bool rearm_pressed() { return !(PINB & rearm_button); }

  static void feed_watchdog() { wdt_reset(); }

  /** Sleeps until there is something to do, a millisecond at most. */
  static void rest() {
    set_sleep_mode(SLEEP_MODE_IDLE);
    cli();
    while (!tick && !conversion_done && !position_waits() && from_host.empty()) {
      sleep_enable();
      // The instruction after sei() still runs before any interrupt, so none is missed between look and sleep.
      sei();
      sleep_cpu();
      sleep_disable();
      cli();
    }
    sei();
  }

 private:
  static constexpr int32_t counts_min = -8388608;
  static constexpr int32_t counts_max = 8388607;

  static void start_switches() {
    if (!has_drive) return;
    uint8_t inputs = stop_button;
    for (uint8_t i = 0; i < end_switches; i++) inputs |= end_switch[i];
    DDRD &= static_cast<uint8_t>(~inputs);
    PORTD |= inputs;
    DDRB &= static_cast<uint8_t>(~rearm_button);
    PORTB |= rearm_button;
  }
};

}  // namespace atmega328p
}  // namespace dashpot

ISR(TIMER1_COMPA_vect) {
  OCR1A += dashpot::atmega328p::position_ticks;
  dashpot::atmega328p::begin_position();
}
