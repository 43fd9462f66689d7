#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "../../core/channel.h"
#include "../../options.h"
#include "clock.h"
#include "pins.h"

/**
 * A slide potentiometer: 16 conversions of 10 bits summed, begun by the timer at the wanted rate. The stamp is the
 * middle between beginning and end.
 */
namespace dashpot {
namespace atmega328p {

constexpr uint8_t slide_conversions = 16;
constexpr int32_t slide_counts_max = slide_conversions * 1023L;
/**
 * The input is held 1.5 of 13 clock periods into each conversion, so the mean instant is before the middle; 15 to 20 us
 * on the simulated controller.
 */
constexpr int32_t slide_delay_us = 18;
/** A sum takes 0.9 ms, and the timer can wait 32 ms. */
constexpr uint32_t position_slowest_mHz = 31000;
constexpr uint32_t position_fastest_mHz = 1000000;

static volatile bool position_done = false;
static volatile uint8_t conversions_left = 0;
/** The sum under way: when it was begun, and what it is so far. */
static Moment slide_begun;
static volatile uint16_t slide_sum;

/** The last one that was done; at the highest rate the next begins a tenth of a millisecond later. */
struct SlideReading {
  Moment begun;
  uint16_t took_ticks;
  uint16_t counts;
};
static SlideReading slide_reading;

inline void start_position() {
  ADMUX = 1 << REFS0 | slide_channel;
  ADCSRB = 0;
  DIDR0 = 1 << slide_channel;
  // 250 kHz: 52 us for each conversion.
  ADCSRA = 1 << ADEN | 1 << ADIF | 1 << ADIE | 1 << ADPS2 | 1 << ADPS1;
}

inline void begin_position() {
  if (conversions_left > 0) return;
  slide_begun = moment_at(TCNT1);
  slide_sum = 0;
  conversions_left = slide_conversions;
  ADCSRA |= 1 << ADSC;
}

inline bool position_waits() { return position_done; }

inline bool take_position(Sample& sample) {
  if (!position_done) return false;
  SlideReading reading;
  ATOMIC_BLOCK(ATOMIC_FORCEON) {
    reading = slide_reading;
    position_done = false;
  }
  // Half of it, and ticks are half microseconds.
  sample = {reading.begun.us() + reading.took_ticks / 4, reading.counts};
  return true;
}

constexpr Channel position_channel = {Kind::position,  Unit::counts,   0,
                                      slide_counts_max, slide_delay_us, Kernel::none};

}  // namespace atmega328p
}  // namespace dashpot

ISR(ADC_vect) {
  using namespace dashpot::atmega328p;
  const uint16_t sum = slide_sum + ADC;
  slide_sum = sum;
  const uint8_t left = conversions_left - 1;
  conversions_left = left;
  if (left > 0) {
    ADCSRA |= 1 << ADSC;
    return;
  }
  slide_reading = {slide_begun, static_cast<uint16_t>(TCNT1 - slide_begun.ticks), sum};
  position_done = true;
}
