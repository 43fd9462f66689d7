/** The second board layer with an angle sensor and a thermometer on I2C, on simulated time. */
#include <stdlib.h>

#define RIG_NAME "played rig"
#define RIG_POSITION 2
#define RIG_THERMOMETER 1
#include "world.h"

#include "played-rig.h"

static void set_angle(int angle) {
  world().bus[0x36][0x0C] = static_cast<uint8_t>(angle >> 8 & 0x0F);
  world().bus[0x36][0x0D] = static_cast<uint8_t>(angle & 0xFF);
}

/** Samples of a kind since the last look. */
struct Samples {
  int count = 0;
  int last = 0;
  uint32_t last_us = 0;
};

static Samples samples(char kind) {
  Samples found;
  for (const string& line : lines()) {
    if (line[0] != kind) continue;
    found.count++;
    found.last_us = static_cast<uint32_t>(strtoul(line.c_str() + line.find(',', 2) + 1, nullptr, 10));
    found.last = atoi(meaning(line).c_str() + 2);
  }
  return found;
}

int main() {
  world().clock_pin = RIG_PIN_CONVERTER_CLOCK;
  world().bus[0x36][0x07] = 0xA0;
  world().bus[0x48] = {{0, 0xF3}, {1, 0xF0}};
  set_angle(4090);
  dashpot::begin();
  run(50);
  // The filter was set, the maker's own bits kept.
  CHECK(world().bus[0x36][0x07] == 0xA3);
  lines();
  CHECK(ask("ID,7", 60) == (Said{"I,1,dashpot rig 1 ide,played rig,3,none", "C,force,counts,-8388608,8388607,80000,0,unknown",
                                 "C,position,counts,-2147483648,2147483647,400000,143,none",
                                 "C,temperature,mdegC,-55000,125000,1000,0,unknown", "A,ID,7"}));
  CHECK(ask("RATE,1,temperature,1000") == (Said{"A,RATE,1"}));
  CHECK(ask("RATE,1,temperature,2000") == (Said{"N,RATE,1,bad-argument"}));
  CHECK(ask("DRIVE,1,1000") == (Said{"N,DRIVE,1,no-drive"}));
  CHECK(ask("START,2") == (Said{"A,START,2"}));
  run(1000);
  Samples angles = samples('P');
  CHECK(angles.count >= 398 && angles.count <= 402);
  CHECK(angles.last == 4090);
  // Past its zero it counts on.
  set_angle(4);
  run(100);
  angles = samples('P');
  CHECK(angles.last == 4100);
  // Looking at the clock costs the played world a microsecond each time.
  const int32_t late_us = static_cast<int32_t>(angles.last_us - static_cast<uint32_t>(world().addressed_us));
  CHECK(late_us >= -5 && late_us <= 5);
  set_angle(4090);
  run(1000);
  lines();
  run(2000);
  const Samples degrees = samples('T');
  CHECK(degrees.count == 2);
  CHECK(degrees.last == -12063);
  // A sensor that is taken off the bus sends nothing, and comes again with it.
  const auto sensor = world().bus[0x36];
  world().bus.erase(0x36);
  run(300);
  CHECK(samples('P').count == 0);
  world().bus[0x36] = sensor;
  run(300);
  angles = samples('P');
  CHECK(angles.count > 100 && angles.last == 4090);
  return Checks::all().finish();
}
