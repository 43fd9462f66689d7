#pragma once
#include <Arduino.h>

#include "../../core/channel.h"
#include "../../core/stamp.h"
#include "pins.h"

/** A slide potentiometer: 16 conversions summed. The stamp is the middle between beginning and end. */
namespace dashpot {
namespace ide_core {

constexpr uint8_t slide_conversions = 16;

inline void start_position() {}

inline bool read_position(Sample& sample) {
  const uint32_t begun_us = micros();
  sample.counts = 0;
  for (uint8_t i = 0; i < slide_conversions; i++) sample.counts += analogRead(RIG_PIN_SLIDE);
  sample.stamp_us = begun_us + since_us(begun_us, micros()) / 2;
  return true;
}

constexpr Channel position_channel = {Kind::position, Unit::counts, 0, slide_conversions * RIG_ANALOG_MAX, 0,
                                      Kernel::none};

}  // namespace ide_core
}  // namespace dashpot
