#pragma once

/**
 * Any other board that the hobby IDE has a core for, through that core's own functions: 32-bit boards above all. Stamps
 * are taken by an interrupt instead of by hardware, so they are late by as long as other interrupts last.
 */

#include <Arduino.h>

#include "../../core/i2c_sensors.h"
#include "../../core/rig.h"
#include "../../options.h"
#include "pins.h"
#if RIG_POSITION == RIG_ANGLE || RIG_THERMOMETER
#include "bus.h"
#endif
#if RIG_POSITION == RIG_SLIDE
#include "slide.h"
#else
#include "angle.h"
#endif

#if RIG_DRIVE && (!defined(RIG_WATCHDOG_BEGIN) || !defined(RIG_WATCHDOG_FEED))
#error "RIG_DRIVE: a hang must not leave the motor on; define RIG_WATCHDOG_BEGIN() and RIG_WATCHDOG_FEED() for your core"
#endif
#ifndef RIG_WATCHDOG_BEGIN
#define RIG_WATCHDOG_BEGIN()
#define RIG_WATCHDOG_FEED()
#endif
/** Where a core wants interrupt routines in fast memory, it defines this. */
#ifndef IRAM_ATTR
#define IRAM_ATTR
#endif

namespace dashpot {
namespace ide_core {

static volatile uint32_t conversion_us;
static volatile bool conversion_done = false;
/** The data line moves with every bit, which is no new conversion. */
static volatile bool reading = false;

static void IRAM_ATTR data_fell() {
  if (reading) return;
  conversion_us = micros();
  conversion_done = true;
}

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
    if (has_drive) start_drive();
    pinMode(RIG_PIN_CONVERTER_CLOCK, OUTPUT);
    digitalWrite(RIG_PIN_CONVERTER_CLOCK, LOW);
    pinMode(RIG_PIN_CONVERTER_DATA, INPUT_PULLUP);
    attachInterrupt(digitalPinToInterrupt(RIG_PIN_CONVERTER_DATA), data_fell, FALLING);
#if RIG_POSITION == RIG_ANGLE || RIG_THERMOMETER
    start_bus();
#endif
    start_position();
    set_rate(Kind::position, RIG_POSITION_RATE_MHZ);
    Serial.begin(RIG_BAUD);
    RIG_WATCHDOG_BEGIN();
  }

  static uint32_t now_us() { return micros(); }
  /** Cores keep the cause in ways of their own. */
  static int32_t reset_cause() { return 0; }

  static bool millisecond_passed() {
    static uint32_t last_us = micros();
    if (since_us(last_us, micros()) < 1000) return false;
    last_us += 1000;
    return true;
  }

  static uint8_t room() {
    const int room = Serial.availableForWrite();
    return static_cast<uint8_t>(room < UINT8_MAX ? room : UINT8_MAX);
  }
  static void write(const char* bytes, uint8_t length) { Serial.write(bytes, length); }
  static bool heard() { return Serial.available() > 0; }
  static uint8_t read() { return static_cast<uint8_t>(Serial.read()); }

  static bool take_force(Sample& sample) {
    if (!conversion_done) return false;
    reading = true;
    sample.stamp_us = conversion_us;
    uint32_t bits = 0;
    for (uint8_t i = 0; i < 24; i++) bits = bits << 1 | clock_bit();
    for (uint8_t i = 24; i < RIG_CONVERTER_PULSES; i++) clock_bit();
    conversion_done = false;
    reading = false;
    sample.counts = static_cast<int32_t>(bits << 8) >> 8;
    return true;
  }

  static bool take_position(Sample& sample) {
    const uint32_t begun_us = micros();
    if (!position_wanted() || since_us(next_position_us(), begun_us) > INT32_MAX) return false;
    next_position_us() += position_period_us();
    return read_position(sample);
  }

  static bool take_temperature(Sample& sample) {
#if RIG_THERMOMETER
    static uint32_t asked_us = micros();
    if (since_us(asked_us, micros()) < us_per_1000_s / thermometer::rate_mHz) return false;
    asked_us += us_per_1000_s / thermometer::rate_mHz;
    uint16_t bytes = 0;
    if (!read_bus(RIG_THERMOMETER_DEVICE, thermometer::temperature, bytes, sample.stamp_us)) return false;
    sample.counts = thermometer::mdegC(bytes);
    return true;
#else
    static_cast<void>(sample);
    return false;
#endif
  }

  static void sample_position(bool on) {
    position_wanted() = on;
    next_position_us() = micros();
  }

  static bool set_rate(Kind kind, uint32_t rate_mHz) {
    if (kind == Kind::force) return rate_mHz == RIG_CONVERTER_RATE_MHZ;
    if (kind == Kind::temperature) return has_thermometer && rate_mHz == thermometer::rate_mHz;
    if (rate_mHz < slowest_mHz || rate_mHz > fastest_mHz) return false;
    position_period_us() = (us_per_1000_s + rate_mHz / 2) / rate_mHz;
    return true;
  }

  static uint32_t rate_mHz(Kind kind) {
    if (kind == Kind::force) return RIG_CONVERTER_RATE_MHZ;
    if (kind == Kind::temperature) return thermometer::rate_mHz;
    return (us_per_1000_s + position_period_us() / 2) / position_period_us();
  }

  static constexpr Channel force_channel() {
    return {Kind::force, Unit::counts, counts_min, counts_max, 0, Kernel::RIG_CONVERTER_KERNEL};
  }
  static constexpr Channel position_channel() { return ide_core::position_channel; }
  static constexpr Channel temperature_channel() { return thermometer::channel; }
  static const char* firmware_name() { return "dashpot rig 1 ide"; }
  static const char* rig_name() { return RIG_NAME; }

  static void power(uint8_t power) {
    digitalWrite(RIG_PIN_MOTOR_ENABLE, power > 0 ? HIGH : LOW);
    analogWrite(RIG_PIN_MOTOR_POWER, power);
  }
  static bool tripped() { return trip(); }
  static void remember_trip(bool tripped) { trip() = tripped; }
  static bool stop_pressed() { return digitalRead(RIG_PIN_STOP) == HIGH; }
  static bool end_pressed(uint8_t index) {
    return digitalRead(index == 0 ? RIG_PIN_END_1 : RIG_PIN_END_2) == HIGH;
  }
  static bool rearm_pressed() { return digitalRead(RIG_PIN_REARM) == LOW; }

  static void feed_watchdog() { RIG_WATCHDOG_FEED(); }
  static void rest() {}

 private:
  static constexpr int32_t counts_min = -8388608;
  static constexpr int32_t counts_max = 8388607;
  static constexpr uint32_t slowest_mHz = 10000;
  static constexpr uint32_t fastest_mHz = 1000000;
  static constexpr uint32_t us_per_1000_s = 1000000000;

  static uint32_t& position_period_us() {
    static uint32_t period_us = 2500;
    return period_us;
  }
  static uint32_t& next_position_us() {
    static uint32_t next_us = 0;
    return next_us;
  }
  static bool& position_wanted() {
    static bool wanted = false;
    return wanted;
  }
  /** No memory of a trip outlives a reset on every core, so each reset asks for someone to re-arm. */
  static bool& trip() {
    static bool tripped = has_drive;
    return tripped;
  }

  /** Interrupts wait while the clock is high, 60 us of which would power the converter down. */
  static uint32_t clock_bit() {
    noInterrupts();
    digitalWrite(RIG_PIN_CONVERTER_CLOCK, HIGH);
    delayMicroseconds(1);
    digitalWrite(RIG_PIN_CONVERTER_CLOCK, LOW);
    interrupts();
    delayMicroseconds(1);
    return digitalRead(RIG_PIN_CONVERTER_DATA) == HIGH ? 1 : 0;
  }

  static void start_drive() {
    digitalWrite(RIG_PIN_MOTOR_ENABLE, LOW);
    digitalWrite(RIG_PIN_MOTOR_POWER, LOW);
    pinMode(RIG_PIN_MOTOR_ENABLE, OUTPUT);
    pinMode(RIG_PIN_MOTOR_POWER, OUTPUT);
    pinMode(RIG_PIN_STOP, INPUT_PULLUP);
    if (end_switches > 0) pinMode(RIG_PIN_END_1, INPUT_PULLUP);
    if (end_switches > 1) pinMode(RIG_PIN_END_2, INPUT_PULLUP);
    pinMode(RIG_PIN_REARM, INPUT_PULLUP);
  }
};

}  // namespace ide_core
}  // namespace dashpot
