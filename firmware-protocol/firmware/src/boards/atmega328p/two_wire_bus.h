#pragma once
#include <avr/io.h>
#include <stdint.h>
#include <util/twi.h>

/** The I2C bus, waited for: only for settings at the start, before the watchdog and interrupts run. */
namespace dashpot {
namespace atmega328p {

inline void start_bus() {
  // Weak pull-ups, so that a missing sensor reads as silence; a real bus has 4.7 kOhm outside.
  PORTC |= 1 << PC4 | 1 << PC5;
  TWSR = 0;
  TWBR = (F_CPU / 400000 - 16) / 2;
}

/** Does one step of a transaction. @return whether it ended with this status, within a millisecond */
inline bool bus_step(uint8_t control, uint8_t status) {
  TWCR = 1 << TWINT | 1 << TWEN | control;
  for (uint16_t patience = 2000; patience > 0; patience--)
    if (TWCR & 1 << TWINT) return TW_STATUS == status;
  return false;
}

inline bool bus_send(uint8_t byte, uint8_t status) {
  TWDR = byte;
  return bus_step(0, status);
}

/** Ends a transaction and waits until it has ended: a start in that time would be lost. */
inline void end_transaction() {
  TWCR = 1 << TWINT | 1 << TWEN | 1 << TWSTO;
  for (uint8_t patience = 200; patience > 0 && (TWCR & 1 << TWSTO); patience--) {
  }
}

inline bool point_at(uint8_t device, uint8_t address) {
  return bus_step(1 << TWSTA, TW_START) && bus_send(static_cast<uint8_t>(device << 1 | TW_WRITE), TW_MT_SLA_ACK) &&
         bus_send(address, TW_MT_DATA_ACK);
}

inline bool read_register(uint8_t device, uint8_t address, uint8_t& value) {
  const bool answered = point_at(device, address) && bus_step(1 << TWSTA, TW_REP_START) &&
                        bus_send(static_cast<uint8_t>(device << 1 | TW_READ), TW_MR_SLA_ACK) &&
                        bus_step(0, TW_MR_DATA_NACK);
  value = TWDR;
  end_transaction();
  return answered;
}

inline void write_register(uint8_t device, uint8_t address, uint8_t value) {
  if (point_at(device, address)) bus_send(value, TW_MT_DATA_ACK);
  end_transaction();
}

}  // namespace atmega328p
}  // namespace dashpot
