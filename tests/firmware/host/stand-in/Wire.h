#pragma once

/** What the board layer uses of the hobby IDE's I2C library: enough to compile it. world.h plays it. */

#include <stdint.h>

struct TwoWire {
  void begin();
  void setClock(uint32_t frequency_Hz);
  void beginTransmission(uint8_t device);
  void write(uint8_t byte);
  uint8_t endTransmission(bool stop = true);
  uint8_t requestFrom(uint8_t device, uint8_t count);
  int read();
};
extern TwoWire Wire;
