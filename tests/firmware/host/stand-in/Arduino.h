#pragma once

/** What the board layer uses of the hobby IDE's core: enough to compile it. world.h plays it. */

#include <stdint.h>

constexpr int HIGH = 1;
constexpr int LOW = 0;
constexpr int INPUT_PULLUP = 2;
constexpr int OUTPUT = 1;
constexpr int FALLING = 2;
constexpr int A0 = 14;

uint32_t micros();
void delayMicroseconds(unsigned us);
void pinMode(int pin, int mode);
void digitalWrite(int pin, int level);
int digitalRead(int pin);
int analogRead(int pin);
void analogWrite(int pin, int power);
int digitalPinToInterrupt(int pin);
void attachInterrupt(int pin, void (*routine)(), int edge);
void noInterrupts();
void interrupts();

struct SerialPort {
  void begin(unsigned long baud);
  int available();
  int read();
  int availableForWrite();
  void write(const char* bytes, unsigned length);
};
extern SerialPort Serial;
