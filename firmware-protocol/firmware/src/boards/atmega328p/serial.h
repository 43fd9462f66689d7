#pragma once
#include <avr/interrupt.h>
#include <avr/io.h>
#include <stdint.h>
#include <util/atomic.h>

#include "../../core/byte_ring.h"
#include "../../options.h"

/** The line to the host: two rings and the interrupts that fill and empty them. */
namespace dashpot {
namespace atmega328p {

static ByteRing<256> to_host;
static ByteRing<128> from_host;

inline void start_serial() {
  constexpr uint16_t divider = (F_CPU / 4 / RIG_BAUD + 1) / 2 - 1;
  UBRR0 = divider;
  UCSR0A = 1 << U2X0;
  UCSR0C = 1 << UCSZ01 | 1 << UCSZ00;
  UCSR0B = 1 << RXEN0 | 1 << TXEN0 | 1 << RXCIE0;
}

/** Puts a whole line; the caller has seen that there is room. */
inline void write(const char* bytes, uint8_t length) {
  while (length-- > 0) to_host.put(static_cast<uint8_t>(*bytes++));
  // Read, changed and written at once: the interrupt turns itself off in the same register.
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { UCSR0B |= 1 << UDRIE0; }
}

}  // namespace atmega328p
}  // namespace dashpot

ISR(USART_RX_vect) {
  const uint8_t byte = UDR0;
  // A host that sends more than it may loses bytes here, and the checksum shows it.
  if (dashpot::atmega328p::from_host.room() > 0) dashpot::atmega328p::from_host.put(byte);
}

ISR(USART_UDRE_vect) {
  // Turned off with the last byte, not after it: no interrupt may find the ring empty.
  UDR0 = dashpot::atmega328p::to_host.take();
  if (dashpot::atmega328p::to_host.empty()) UCSR0B &= static_cast<uint8_t>(~(1 << UDRIE0));
}
