/** The vectors on the controller itself, whose int has 16 bits: reports each wrong one and the count. */
#include <avr/io.h>
#include <avr/pgmspace.h>
#define DASHPOT_IN_FLASH PROGMEM
#define DASHPOT_FLASH_BYTE(address) pgm_read_byte(address)

#include "../vectors/check-vectors.h"

static uint16_t checked = 0;

static void send(char byte) {
  loop_until_bit_is_set(UCSR0A, UDRE0);
  UDR0 = static_cast<uint8_t>(byte);
}

static void send_text(const char* flash) {
  for (char c; (c = static_cast<char>(pgm_read_byte(flash))) != 0; flash++) send(c);
}

static void report(const char* name, bool right) {
  checked++;
  if (right) return;
  send_text(PSTR("wrong: "));
  send_text(name);
  send('\n');
}

int main() {
  UCSR0A = 1 << U2X0;
  UBRR0 = 7;
  UCSR0B = 1 << TXEN0;
  dashpot::check_vectors(report);
  char number[dashpot::most_digits];
  const char* end = dashpot::write_decimal(number, checked);
  send_text(PSTR("checked: "));
  for (const char* digit = number; digit < end; digit++) send(*digit);
  send('\n');
  for (;;) {
  }
}
