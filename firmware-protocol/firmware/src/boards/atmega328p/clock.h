#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "../../core/stamp.h"

#if F_CPU != 16000000UL
#error "found another clock, wanted F_CPU of 16 MHz: the stamps count its eighths"
#endif

/** Timer 1 ticks every half microsecond and never stops; its overflows, each 32.768 ms, are counted. */
namespace dashpot {
namespace atmega328p {

static volatile uint32_t overflows = 0;
/** The timer has counted a millisecond. */
static volatile bool tick = false;

constexpr uint16_t ticks_per_ms = 2000;
/** Between two position samples. */
static volatile uint16_t position_ticks = 5000;

inline void start_clock() {
  TCCR1A = 0;
  // Falling edges are captured, through the noise canceller: four equal looks, a quarter microsecond.
  TCCR1B = 1 << ICNC1 | 1 << CS11;
  OCR1B = TCNT1 + ticks_per_ms;
  TIFR1 = 1 << TOV1 | 1 << OCF1A | 1 << OCF1B | 1 << ICF1;
  TIMSK1 = 1 << TOIE1 | 1 << OCIE1B;
}

/** A moment as the timer has it, kept cheaply in an interrupt and turned into microseconds later. */
struct Moment {
  uint32_t overflows;
  uint16_t ticks;
  bool overflow_pending;

  uint32_t us() const { return stamp_us(overflows, ticks, overflow_pending); }
};

/** The moment that the timer showed `ticks`, less than half an overflow ago. Call with interrupts off. */
inline Moment moment_at(uint16_t ticks) { return {overflows, ticks, (TIFR1 & 1 << TOV1) != 0}; }

inline uint32_t now_us() {
  Moment now;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { now = moment_at(TCNT1); }
  return now.us();
}

}  // namespace atmega328p
}  // namespace dashpot

ISR(TIMER1_OVF_vect) { dashpot::atmega328p::overflows++; }

ISR(TIMER1_COMPB_vect) {
  OCR1B += dashpot::atmega328p::ticks_per_ms;
  dashpot::atmega328p::tick = true;
}
