/** The second board layer under the whole rig: identification, samples, drive and trips, on simulated time. */
#include <stdlib.h>

#define RIG_NAME "played rig"
#define RIG_DRIVE 1
#define RIG_END_SWITCHES 2
#define RIG_WATCHDOG_BEGIN()
#define RIG_WATCHDOG_FEED() world().fed++
#include "world.h"

#include "played-rig.h"

static void rearm() {
  world().inputs[RIG_PIN_REARM] = LOW;
  run(60);
  world().inputs[RIG_PIN_REARM] = HIGH;
  run(10);
}

static void turn(const char* why) {
  rearm();
  lines();
  CHECK(ask("DRIVE,9,4000") == (Said{"A,DRIVE,9"}));
  run(50);
  if (world().motor_power == 0) printf("stands still before: %s\n", why);
  CHECK(world().motor_power > 0 && world().outputs[RIG_PIN_MOTOR_ENABLE] == HIGH);
  lines();
}

static bool stopped() { return world().motor_power == 0 && world().outputs[RIG_PIN_MOTOR_ENABLE] == LOW; }

static void identity_and_samples() {
  const Said said = ask("ID,7", 40);
  CHECK(said == (Said{"I,1,dashpot rig 1 ide,played rig,2,speed", "C,force,counts,-8388608,8388607,80000,0,unknown",
                      "C,position,counts,0,16368,400000,0,none", "V,100,4000,1000", "A,ID,7"}));
  CHECK(ask("RATE,1,position,200000") == (Said{"A,RATE,1"}));
  CHECK(ask("RATE,1,position,2000000") == (Said{"N,RATE,1,bad-argument"}));
  CHECK(ask("RATE,1,force,320000") == (Said{"N,RATE,1,bad-argument"}));
  CHECK(ask("STOP,1") == (Said{"N,STOP,1,not-running"}));
  CHECK(ask("WHAT,1") == (Said{"N,?,0,unknown-command"}));
  CHECK(ask("TARE,5") == (Said{"A,TARE,5", "E,tare,5"}));
  CHECK(ask("START,2") == (Said{"A,START,2"}));
  CHECK(ask("START,3") == (Said{"N,START,3,busy"}));
  lines();
  run(1000);
  int force = 0;
  int position = 0;
  uint32_t last_us = 0;
  for (const string& line : lines()) {
    const string said_meaning = meaning(line);
    const uint32_t time_us = static_cast<uint32_t>(strtoul(line.c_str() + line.find(',', 2) + 1, nullptr, 10));
    if (line[0] == 'F') {
      const int counts = atoi(said_meaning.c_str() + 2);
      CHECK(counts >= 1000 && counts < 1097);
      // The edge was at a multiple of 12.5 ms; the interrupt looked a microsecond later.
      CHECK(time_us % 12500 == 1);
      force++;
    } else {
      CHECK(said_meaning == "P,8192");
      if (last_us > 0) CHECK(time_us - last_us > 4000 && time_us - last_us < 6000);
      last_us = time_us;
      position++;
    }
  }
  CHECK(force == 80);
  CHECK(position >= 199 && position <= 201);
  CHECK(world().longest_high_us < 60);
}

static void trips() {
  CHECK(ask("DRIVE,1,2000") == (Said{"N,DRIVE,1,tripped"}));
  CHECK(stopped());
  turn("speeds");
  CHECK(ask("DRIVE,2,4001") == (Said{"N,DRIVE,2,bad-argument"}));
  CHECK(ask("HALT,3") == (Said{"A,HALT,3"}));
  CHECK(stopped());

  turn("lease");
  for (int i = 0; i < 8; i++) CHECK(ask("BEAT,4", 250).empty());
  CHECK(!stopped());
  run(1010);
  CHECK(stopped());
  CHECK(ask("DRIVE,1,2000") == (Said{"N,DRIVE,1,tripped"}));

  turn("stop");
  world().inputs[RIG_PIN_STOP] = HIGH;
  CHECK(ask("BEAT,1", 4) == (Said{"E,operator-stop,0"}));
  CHECK(stopped());
  rearm();
  CHECK(ask("DRIVE,1,2000") == (Said{"N,DRIVE,1,tripped"}));
  world().inputs[RIG_PIN_STOP] = LOW;

  turn("end switch");
  world().inputs[RIG_PIN_END_2] = HIGH;
  CHECK(ask("BEAT,1", 4) == (Said{"E,end-switch,2"}));
  CHECK(stopped());
  world().inputs[RIG_PIN_END_2] = LOW;

  turn("missing");
  world().silent = true;
  CHECK(ask("BEAT,1", 60) == (Said{"E,sensor-fault,1"}));
  CHECK(stopped());
  world().done_at_us = world().now_us + 12500;
  world().silent = false;
  run(30);
}

/** A full line out drops whole samples, never replies, and owns up to each. */
static void overruns() {
  lines();
  world().room = 100;
  run(500);
  world().room = 255;
  send("STOP,8");
  run(120);
  int told = 0;
  int dropped = 0;
  for (const string& line : lines()) {
    const string said = meaning(line);
    if (said.compare(0, 10, "E,overrun,") == 0) told += atoi(said.c_str() + 10);
    if (said.compare(0, 9, "A,STOP,8,") == 0) dropped = atoi(said.c_str() + 9);
  }
  // 40 conversions and 100 positions.
  CHECK(dropped >= 138 && dropped <= 142);
  CHECK(told == dropped);
}

int main() {
  world().clock_pin = RIG_PIN_CONVERTER_CLOCK;
  for (const int pin : {RIG_PIN_STOP, RIG_PIN_END_1, RIG_PIN_END_2}) world().inputs[pin] = LOW;
  dashpot::begin();
  run(50);
  const std::vector<string> first = lines();
  CHECK(first.size() == 1 && meaning(first[0]) == "E,boot,0");
  identity_and_samples();
  trips();
  overruns();
  CHECK(world().fed > 1000);
  return Checks::all().finish();
}
