#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <stdint.h>
#include <util/atomic.h>
#include <util/twi.h>

#include "clock.h"

/** Reads sensors on the I2C bus by interrupts, two bytes at a time: one read is under way, and one may wait for it. */
namespace dashpot {
namespace atmega328p {

struct BusRead {
  const uint8_t device;
  const uint8_t address;
  /** When the device was addressed for reading, and the two bytes it gave, the first one above. */
  Moment moment;
  uint16_t bytes;
  volatile bool done;
};

static BusRead* volatile read_under_way = nullptr;
static BusRead* volatile read_waiting = nullptr;
/** Whether the device knows which register is meant. */
static volatile bool pointed = false;

constexpr uint8_t bus_go_on = 1 << TWINT | 1 << TWEN | 1 << TWIE;

/** Begins a read, after the last one without letting go of the bus. Call with interrupts off. */
inline void begin_read(BusRead& read) {
  read_under_way = &read;
  pointed = false;
  TWCR = bus_go_on | 1 << TWSTA;
}

/** Begins a read now or after the one under way. Call with interrupts off. */
inline void ask_bus(BusRead& read) {
  if (read_under_way == nullptr) return begin_read(read);
  if (read_under_way != &read && read_waiting != &read) {
    read_waiting = &read;
    return;
  }
  // What was asked for and has not ended by now never will.
  TWCR = 0;
  read_waiting = nullptr;
  begin_read(read);
}

/** Gives what a read brought, once. @return false when there is nothing new */
inline bool take_read(BusRead& read, uint16_t& bytes, Moment& moment) {
  if (!read.done) return false;
  ATOMIC_BLOCK(ATOMIC_FORCEON) {
    bytes = read.bytes;
    moment = read.moment;
    read.done = false;
  }
  return true;
}

/** A read has ended, one way or the other: the next, or a free bus. */
inline void end_read() {
  BusRead* const next = read_waiting;
  read_waiting = nullptr;
  if (next != nullptr) return begin_read(*next);
  read_under_way = nullptr;
  TWCR = 1 << TWINT | 1 << TWEN | 1 << TWSTO;
}

}  // namespace atmega328p
}  // namespace dashpot

ISR(TWI_vect) {
  using namespace dashpot::atmega328p;
  BusRead& read = *read_under_way;
  switch (TW_STATUS) {
    case TW_START:
    case TW_REP_START:
      TWDR = static_cast<uint8_t>(read.device << 1 | (pointed ? TW_READ : TW_WRITE));
      TWCR = bus_go_on;
      return;
    case TW_MT_SLA_ACK:
      TWDR = read.address;
      TWCR = bus_go_on;
      return;
    case TW_MT_DATA_ACK:
      pointed = true;
      TWCR = bus_go_on | 1 << TWSTA;
      return;
    case TW_MR_SLA_ACK:
      // The sensor latches now, for both bytes.
      TWCR = bus_go_on | 1 << TWEA;
      read.moment = moment_at(TCNT1);
      return;
    case TW_MR_DATA_ACK:
      read.bytes = static_cast<uint16_t>(TWDR << 8);
      TWCR = bus_go_on;
      return;
    case TW_MR_DATA_NACK:
      read.bytes |= TWDR;
      read.done = true;
      break;
    default:
      break;
  }
  end_read();
}
