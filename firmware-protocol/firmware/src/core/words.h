#pragma once
#include <stdint.h>

#include "flash.h"

/** The closed lists of the protocol: each value with its word on the wire, in the order of PROTOCOL.md. */
namespace dashpot {

constexpr uint8_t protocol_version = 1;

/** Longest line that anyone sends or accepts: all bytes before the newline. */
constexpr uint8_t max_line_bytes = 120;

/** Room for the longest word of any list and its end. */
using Word = char[16];

enum class Kind : uint8_t { force, position, temperature };
static const Word kind_words[] DASHPOT_IN_FLASH = {"force", "position", "temperature"};

enum class Unit : uint8_t { counts, mdegC };
static const Word unit_words[] DASHPOT_IN_FLASH = {"counts", "mdegC"};

enum class Kernel : uint8_t { none, one_conversion, sinc3, sinc4, unknown };
static const Word kernel_words[] DASHPOT_IN_FLASH = {"none", "one-conversion", "sinc3", "sinc4", "unknown"};

enum class DriveKind : uint8_t { none, speed };
static const Word drive_words[] DASHPOT_IN_FLASH = {"none", "speed"};

enum class Event : uint8_t {
  boot,
  overrun,
  overload,
  end_switch,
  operator_stop,
  lease_lost,
  sensor_fault,
  rearmed,
  tare
};
static const Word event_words[] DASHPOT_IN_FLASH = {"boot",          "overrun",    "overload",
                                                    "end-switch",    "operator-stop", "lease-lost",
                                                    "sensor-fault",  "rearmed",    "tare"};

/** What `sensor-fault` says. */
enum class SensorFault : uint8_t { missing = 1, stuck = 2, saturated = 3 };

enum class Command : uint8_t { identify, start, stop, tare, halt, beat, rate, drive, unreadable };
static const Word command_words[] DASHPOT_IN_FLASH = {"ID",   "START", "STOP",  "TARE", "HALT",
                                                      "BEAT", "RATE",  "DRIVE", "?"};
constexpr uint8_t readable_commands = 8;

enum class Refusal : uint8_t {
  unknown_command,
  bad_argument,
  no_drive,
  tripped,
  not_running,
  busy,
  bad_checksum
};
static const Word refusal_words[] DASHPOT_IN_FLASH = {
    "unknown-command", "bad-argument", "no-drive", "tripped", "not-running", "busy", "bad-checksum"};

/** The index of the word that text[0, length) spells, or `count`. */
inline uint8_t index_of_word(const Word* words, uint8_t count, const char* text, uint8_t length) {
  for (uint8_t index = 0; index < count; index++) {
    const char* word = words[index];
    uint8_t at = 0;
    while (at < length && static_cast<char>(DASHPOT_FLASH_BYTE(word + at)) == text[at]) at++;
    if (at == length && DASHPOT_FLASH_BYTE(word + at) == 0) return index;
  }
  return count;
}

}  // namespace dashpot
