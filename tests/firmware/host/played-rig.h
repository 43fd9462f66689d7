#pragma once

/** A whole rig in the played world, and what is said to it. Included after the rig's options and world.h. */

#include <string.h>

#include <vector>

#include "../../../firmware-protocol/firmware/src/dashpot_rig.h"
#include "check.h"

using std::string;

/** Payloads of the lines that came since the last look; each must be sound. */
static std::vector<string> lines() {
  std::vector<string> payloads;
  string& sent = world().sent;
  for (size_t end; (end = sent.find('\n')) != string::npos; sent.erase(0, end + 1)) {
    uint8_t length = 0;
    const dashpot::Fault fault = dashpot::open_line(sent.data(), static_cast<uint8_t>(end), length);
    if (fault == dashpot::Fault::empty) continue;
    CHECK(fault == dashpot::Fault::none);
    payloads.push_back(sent.substr(0, length));
  }
  return payloads;
}

/** A payload without its sequence number (field 2) and, for samples and events, its time (field 3). */
static string meaning(const string& payload) {
  const size_t first = payload.find(',');
  size_t from = payload.find(',', first + 1);
  if (strchr("FPTE", payload[0])) from = payload.find(',', from + 1);
  return payload.substr(0, first) + payload.substr(from);
}

static void run(uint64_t ms) {
  const uint64_t until_us = world().now_us + ms * 1000;
  while (world().now_us < until_us) {
    dashpot::run();
    // A real load is never still.
    world().counts = 1000 + static_cast<int32_t>(world().now_us / 100 % 97);
    world().pass(50);
  }
}

static void send(const string& payload) {
  char checksum[5] = {};
  dashpot::write_hex(checksum, dashpot::checksum_of(payload.data(), static_cast<uint8_t>(payload.size())));
  for (const char c : payload + "*" + checksum + "\n") world().to_board.push_back(static_cast<uint8_t>(c));
}

/** What the rig says within so many ms of a command, samples left out. */
static std::vector<string> ask(const string& payload, uint64_t ms = 20) {
  lines();
  send(payload);
  run(ms);
  std::vector<string> said;
  for (const string& line : lines())
    if (line[0] != 'F' && line[0] != 'P') said.push_back(meaning(line));
  return said;
}

using Said = std::vector<string>;
