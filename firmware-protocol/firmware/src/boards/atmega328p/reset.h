#pragma once
#include <avr/io.h>
#include <avr/wdt.h>
#include <stdint.h>

/** What a reset leaves behind: its cause, a running watchdog, and the memory of a trip. */
namespace dashpot {
namespace atmega328p {

/** As the controller's register has it; a boot loader may have cleared it to 0. */
static uint8_t cause_of_reset __attribute__((section(".noinit")));

/**
 * A trip outlives resets: opening the port resets most boards, and a host must not re-arm a rig that way. Switching
 * the power off forgets it, since memory then holds neither of the two words.
 */
static uint32_t trip_word __attribute__((section(".noinit")));
constexpr uint32_t word_of_trip = 0x54524950;
constexpr uint32_t word_of_no_trip = ~word_of_trip;

inline bool tripped() { return trip_word == word_of_trip; }
inline void remember_trip(bool tripped) { trip_word = tripped ? word_of_trip : word_of_no_trip; }

}  // namespace atmega328p
}  // namespace dashpot

/**
 * Runs before anything else. After a reset by the watchdog it goes on running, at its shortest, and would reset a slow
 * start again and again.
 */
extern "C" void dashpot_before_start() __attribute__((naked, used, section(".init3")));
extern "C" void dashpot_before_start() {
  dashpot::atmega328p::cause_of_reset = MCUSR;
  MCUSR = 0;
  wdt_disable();
}
