#pragma once

/** The hobby IDE's core as a played world: pins, a converter, a serial line, all on simulated time. */

#include <stdint.h>

#include <deque>
#include <map>
#include <string>

#include "stand-in/Arduino.h"
#include "stand-in/Wire.h"

/** Everything around the board. */
struct World {
  uint64_t now_us = 0;
  std::map<int, int> modes;
  std::map<int, int> outputs;
  /** Levels of switches; what nobody wired reads high. */
  std::map<int, int> inputs;
  int motor_power = 0;
  int slide = 512;
  bool interrupts_on = true;
  int fed = 0;
  std::string sent;
  std::deque<uint8_t> to_board;
  int room = 255;

  /** The converter: its pins, when it is done next, what it gives. */
  int data_pin = -1;
  int clock_pin = -1;
  void (*on_fall)() = nullptr;
  uint64_t done_at_us = 12500;
  bool silent = false;
  int32_t counts = 1000;
  int pulses = 25;
  uint64_t longest_high_us = 0;
  uint64_t rose_at_us = 0;

  /** Sensors on I2C, by device: registers of one byte. What is not there does not answer. */
  std::map<int, std::map<int, uint8_t>> bus;
  int bus_device = 0;
  std::deque<uint8_t> to_bus;
  std::deque<uint8_t> from_bus;
  uint64_t addressed_us = 0;

  void pass(uint64_t us) {
    const uint64_t until_us = now_us + us;
    while (!silent && done_at_us <= until_us) {
      now_us = done_at_us;
      done_at_us += 12500;
      pulses = 0;
      if (on_fall) on_fall();
    }
    now_us = until_us;
  }

  int data() const { return pulses == 0 || pulses > 24 ? pulses > 0 : (counts >> (24 - pulses)) & 1; }

  void clock(int level) {
    if (level == HIGH) {
      const int before = data();
      if (pulses < 25) pulses++;
      rose_at_us = now_us;
      // The line moves while it is read; a board that interrupts on that must know it for what it is.
      if (before == 1 && data() == 0 && on_fall && interrupts_on) on_fall();
    } else if (now_us - rose_at_us > longest_high_us) {
      longest_high_us = now_us - rose_at_us;
    }
  }
};

static World& world() {
  static World played;
  return played;
}

uint32_t micros() {
  world().pass(1);
  return static_cast<uint32_t>(world().now_us);
}
void delayMicroseconds(unsigned us) { world().pass(us); }
void pinMode(int pin, int mode) { world().modes[pin] = mode; }
void digitalWrite(int pin, int level) {
  world().outputs[pin] = level;
  if (pin == world().clock_pin) world().clock(level);
}
int digitalRead(int pin) {
  if (pin == world().data_pin) return world().data();
  const auto wired = world().inputs.find(pin);
  return wired == world().inputs.end() ? HIGH : wired->second;
}
int analogRead(int) {
  world().pass(20);
  return world().slide;
}
void analogWrite(int, int power) { world().motor_power = power; }
int digitalPinToInterrupt(int pin) { return pin; }
void attachInterrupt(int pin, void (*routine)(), int) {
  world().data_pin = pin;
  world().on_fall = routine;
}
void noInterrupts() { world().interrupts_on = false; }
void interrupts() { world().interrupts_on = true; }

void SerialPort::begin(unsigned long) {}
int SerialPort::available() { return static_cast<int>(world().to_board.size()); }
int SerialPort::read() {
  const uint8_t byte = world().to_board.front();
  world().to_board.pop_front();
  return byte;
}
int SerialPort::availableForWrite() { return world().room; }
void SerialPort::write(const char* bytes, unsigned length) { world().sent.append(bytes, length); }
SerialPort Serial;

/** A bit of the bus lasts 2.5 us. */
static void pass_bits(int bits) { world().pass(static_cast<uint64_t>(bits * 5 / 2)); }

void TwoWire::begin() {}
void TwoWire::setClock(uint32_t) {}
void TwoWire::beginTransmission(uint8_t device) {
  world().bus_device = device;
  world().to_bus.clear();
}
void TwoWire::write(uint8_t byte) { world().to_bus.push_back(byte); }
uint8_t TwoWire::endTransmission(bool) {
  const auto device = world().bus.find(world().bus_device);
  pass_bits(10 + 9 * static_cast<int>(world().to_bus.size()));
  if (device == world().bus.end()) return 2;
  int address = world().to_bus.front();
  world().to_bus.pop_front();
  for (const uint8_t byte : world().to_bus) device->second[address++] = byte;
  world().from_bus.clear();
  for (int i = 0; i < 2; i++) world().from_bus.push_back(device->second[address + i]);
  return 0;
}
uint8_t TwoWire::requestFrom(uint8_t, uint8_t count) {
  pass_bits(10);
  world().addressed_us = world().now_us;
  pass_bits(9 * count + 1);
  return count;
}
int TwoWire::read() {
  const uint8_t byte = world().from_bus.front();
  world().from_bus.pop_front();
  return byte;
}
TwoWire Wire;
