/** The core's parts, each by itself, with sanitizers on. */
#include <inttypes.h>
#include <string.h>

#include "../../../firmware-protocol/firmware/src/core/byte_ring.h"
#include "../../../firmware-protocol/firmware/src/core/contact.h"
#include "../../../firmware-protocol/firmware/src/core/event_queue.h"
#include "../../../firmware-protocol/firmware/src/core/guard.h"
#include "../../../firmware-protocol/firmware/src/core/host_line.h"
#include "../../../firmware-protocol/firmware/src/core/i2c_sensors.h"
#include "../../../firmware-protocol/firmware/src/core/line_in.h"
#include "../../../firmware-protocol/firmware/src/core/soft_start.h"
#include "../../../firmware-protocol/firmware/src/core/stamp.h"
#include "../../../firmware-protocol/firmware/src/core/turns.h"
#include "check.h"

using namespace dashpot;

/** xorshift32: the same numbers on every machine. */
static uint32_t random_state = 1;
static uint32_t random_number() {
  random_state ^= random_state << 13;
  random_state ^= random_state >> 17;
  random_state ^= random_state << 5;
  return random_state;
}

static bool written_as_c_does(int64_t value) {
  char wanted[24];
  snprintf(wanted, sizeof wanted, "%" PRId64, value);
  char text[most_digits + 2];
  char* end = value < 0 || value <= INT32_MAX ? write_signed(text, static_cast<int32_t>(value))
                                              : write_decimal(text, static_cast<uint32_t>(value));
  *end = 0;
  if (strcmp(text, wanted) != 0) return false;
  uint32_t back = 0;
  return value < 0 || (read_decimal(text, static_cast<uint8_t>(end - text), UINT32_MAX, back) && back == value);
}

static void numbers() {
  for (int64_t power = 1; power <= UINT32_MAX; power *= 10)
    for (int64_t value = power - 1; value <= power + 1; value++) CHECK(written_as_c_does(value));
  for (int64_t power = 1; power <= INT32_MAX; power *= 2) {
    CHECK(written_as_c_does(power - 1));
    CHECK(written_as_c_does(-power));
  }
  CHECK(written_as_c_does(INT32_MIN));
  CHECK(written_as_c_does(UINT32_MAX));
  for (int i = 0; i < 2000; i++) {
    CHECK(written_as_c_does(static_cast<int32_t>(random_number())));
    CHECK(written_as_c_does(random_number() >> (random_number() % 32)));
  }
  uint32_t value = 7;
  CHECK(!read_decimal("4294967296", 10, UINT32_MAX, value));
  CHECK(!read_decimal("9999999999", 10, UINT32_MAX, value));
  CHECK(!read_decimal("256", 3, 255, value));
  CHECK(!read_decimal("", 0, 255, value));
  CHECK(value == 7);
}

static void stamps() {
  for (int i = 0; i < 5000; i++) {
    const uint32_t overflows = random_number();
    const uint16_t ticks = static_cast<uint16_t>(random_number());
    const uint64_t half_us = static_cast<uint64_t>(overflows) * 65536 + ticks;
    CHECK(stamp_us(overflows, ticks, false) == static_cast<uint32_t>(half_us / 2));
    const uint64_t after = ticks < 0x8000 ? half_us + 65536 : half_us;
    CHECK(stamp_us(overflows, ticks, true) == static_cast<uint32_t>(after / 2));
  }
  CHECK(since_us(0xFFFFFFF0u, 0x10u) == 0x20);
}

static void rings() {
  ByteRing<256> ring;
  uint8_t next_in = 0;
  uint8_t next_out = 0;
  int held = 0;
  CHECK(ring.room() == 255);
  for (int i = 0; i < 20000; i++) {
    if (random_number() & 1) {
      if (ring.room() > 0) ring.put(next_in++), held++;
    } else if (!ring.empty()) {
      CHECK(ring.take() == next_out++);
      held--;
    }
    CHECK(ring.room() == 255 - held && ring.empty() == (held == 0));
  }
  EventQueue queue;
  for (int32_t i = 0; i < 8; i++) CHECK(queue.put({0, Event::tare, i}));
  CHECK(!queue.put({0, Event::tare, 8}));
  for (int32_t i = 0; i < 8; i++) CHECK(queue.take().value == i);
  CHECK(queue.empty());
}

/** Whatever comes, the reader stays within its memory (the sanitizers watch) and takes nothing for a command. */
static void noise() {
  LineIn in;
  int commands = 0;
  for (int i = 0; i < 200000; i++) {
    const uint32_t dice = random_number();
    const char byte = static_cast<char>((dice & 0x1F00) == 0 ? '\n' : dice);
    if (in.add(byte) && read_host_line(in.text(), in.length()).fault == Fault::none) commands++;
  }
  CHECK(commands == 0);
  const char start[] = "\nSTART,2*4110\n";
  HostLine read = {};
  for (const char* byte = start; *byte; byte++)
    if (in.add(*byte)) read = read_host_line(in.text(), in.length());
  CHECK(read.fault == Fault::none && read.command == Command::start && read.tag == 2);
}

static const Limits limits = {1000000, 12500, -8388608, 8388607, -1000, 1000};

static bool tripped_by(const Trip& trip, Event event, int32_t value) {
  return trip.happened && trip.event == event && trip.value == value;
}

static void guards() {
  Guard resting(limits);
  CHECK(!resting.look_at_force(0, 5000).happened && !resting.look_at_time(9000000).happened);

  Guard load(limits);
  load.engage(0);
  CHECK(!load.look_at_force(1, 1000).happened && !load.look_at_force(2, -1000).happened);
  CHECK(tripped_by(load.look_at_force(3, 1001), Event::overload, 1001) && !load.engaged());
  load.engage(4);
  CHECK(tripped_by(load.look_at_force(5, -1001), Event::overload, -1001));
  load.engage(6);
  CHECK(tripped_by(load.look_at_force(7, 8388607), Event::sensor_fault, 3));
  load.engage(8);
  CHECK(tripped_by(load.look_at_force(9, -8388608), Event::sensor_fault, 3));

  Guard stuck(limits);
  stuck.engage(0);
  for (uint32_t i = 0; i < 15; i++) CHECK(!stuck.look_at_force(i, 77).happened);
  CHECK(!stuck.look_at_force(15, 78).happened);
  for (uint32_t i = 0; i < 15; i++) CHECK(!stuck.look_at_force(16 + i, 79).happened);
  CHECK(tripped_by(stuck.look_at_force(40, 79), Event::sensor_fault, 2));
  // Still stuck when the drive turns again: at once, not after another 16.
  stuck.engage(50);
  CHECK(tripped_by(stuck.look_at_force(51, 79), Event::sensor_fault, 2));

  // Times run through the wrap of the clock.
  const uint32_t begin_us = 0xFFFFF000u;
  Guard silent(limits);
  silent.engage(begin_us);
  CHECK(!silent.look_at_time(begin_us + 37500).happened);
  CHECK(tripped_by(silent.look_at_time(begin_us + 37501), Event::sensor_fault, 1));

  Guard lease(limits);
  lease.engage(begin_us);
  uint32_t now_us = begin_us;
  int32_t counts = 0;
  const auto pass = [&](uint32_t until_us) {
    Trip trip = {false, Event::boot, 0};
    while (!trip.happened && now_us != until_us) {
      now_us += 1000;
      if (now_us % 12000 < 1000) trip = lease.look_at_force(now_us, counts++ % 100);
      if (!trip.happened) trip = lease.look_at_time(now_us);
    }
    return trip;
  };
  CHECK(!pass(begin_us + 999000).happened);
  lease.renew(now_us);
  CHECK(!pass(begin_us + 1998000).happened);
  CHECK(tripped_by(pass(begin_us + 2999000), Event::lease_lost, 1000));
  CHECK(now_us == begin_us + 1999000);
}

static void switches() {
  StopContact stop;
  CHECK(!stop.pressed(true) && stop.pressed(true) && !stop.pressed(false) && !stop.pressed(true));
  HeldButton stuck;
  for (int i = 0; i < 1000; i++) CHECK(!stuck.was_held(true));
  CHECK(!stuck.was_held(false));
  for (int i = 0; i < 49; i++) CHECK(!stuck.was_held(true));
  CHECK(stuck.was_held(true));
  for (int i = 0; i < 1000; i++) CHECK(!stuck.was_held(true));
}

static void soft_starts() {
  SoftStart power({100, 4000, 4000, 1000});
  CHECK(!power.can_do(99) && power.can_do(100) && power.can_do(4000) && !power.can_do(4001));
  CHECK(power.step() == 0);
  power.turn(4000);
  int before = 0;
  for (int ms = 1; ms <= 1000; ms++) {
    const int now = power.step();
    CHECK(now >= before && now - before <= 1 && (ms == 1000 || now < 255 || ms > 980));
    before = now;
  }
  CHECK(before == 255);
  power.turn(2000);
  for (int ms = 0; ms < 600; ms++) {
    const int now = power.step();
    CHECK(now <= before && before - now <= 1);
    before = now;
  }
  CHECK(before == 127);
  power.stop();
  CHECK(power.step() == 0);
}

static void angles_and_degrees() {
  Turns turns;
  int64_t angle = 4000;
  CHECK(turns.add(4000) == 4000);
  for (int i = 0; i < 2000; i++) {
    // Up to just under half a turn either way.
    angle += static_cast<int32_t>(random_number() % 4095) - 2047;
    CHECK(turns.add(static_cast<uint16_t>(angle & 0xFFF)) == angle);
  }
  for (int32_t raw = INT16_MIN; raw <= INT16_MAX; raw += 7) {
    const double exact = raw * 1000 / 256.0;
    const double error = thermometer::mdegC(static_cast<uint16_t>(raw)) - exact;
    CHECK(error >= -0.5 && error <= 0.5);
  }
  CHECK(thermometer::mdegC(0x1590) == 21563);
  CHECK(thermometer::mdegC(0xF3F0) == -12063);
}

int main() {
  numbers();
  angles_and_degrees();
  stamps();
  rings();
  noise();
  guards();
  switches();
  soft_starts();
  return Checks::all().finish();
}
