#pragma once
#include <stdint.h>

#include "checksum.h"
#include "decimal.h"
#include "words.h"

namespace dashpot {

/** Why a line is passed over, in the order in which the reasons are tested. */
enum class Fault : uint8_t {
  none,
  empty,
  too_long,
  bad_character,
  no_checksum,
  bad_checksum,
  unknown_type,
  malformed
};

/** A line from the host as it was understood. Without a fault, `command` and `tag` hold, and what it asks for. */
struct HostLine {
  Fault fault;
  Command command;
  uint8_t tag;
  /** Of `RATE`. */
  Kind kind;
  /** Of `RATE` and `DRIVE`, thousandths per second. */
  uint32_t value_mHz;
};

/**
 * Checks what all lines share: length, characters, `*` and checksum.
 * @param payload_length how many bytes stand before the `*`; written only without a fault
 */
inline Fault open_line(const char* line, uint8_t length, uint8_t& payload_length) {
  constexpr uint8_t checksum_bytes = 5;
  const uint8_t close = length > 0 && line[length - 1] == '\r' ? length - 1 : length;
  if (close == 0) return Fault::empty;
  if (length > max_line_bytes) return Fault::too_long;
  uint8_t star = close;
  for (uint8_t i = 0; i < close; i++) {
    const uint8_t byte = static_cast<uint8_t>(line[i]);
    if (byte < 0x20 || byte > 0x7E) return Fault::bad_character;
    if (byte == '*' && star == close) star = i;
  }
  if (star + checksum_bytes != close) return Fault::no_checksum;
  char wanted[4];
  write_hex(wanted, checksum_of(line, star));
  for (uint8_t i = 0; i < sizeof wanted; i++)
    if (line[star + 1 + i] != wanted[i]) return Fault::bad_checksum;
  payload_length = star;
  return Fault::none;
}

/** The fields of a payload, one after the other. */
class Fields {
 public:
  Fields(const char* payload, uint8_t length) : next_(payload), end_(payload + length) {}

  /** Steps to the next field. @return false when there is none; `text` and `length` give it otherwise */
  bool next() {
    if (past_) return false;
    text_ = next_;
    while (next_ < end_ && *next_ != ',') next_++;
    length_ = static_cast<uint8_t>(next_ - text_);
    past_ = next_ == end_;
    if (!past_) next_++;
    return true;
  }

  bool number(uint32_t greatest, uint32_t& value) {
    return next() && read_decimal(text_, length_, greatest, value);
  }

  /** @return the index of the next field's word, or `count` */
  uint8_t word(const Word* words, uint8_t count) {
    return next() ? index_of_word(words, count, text_, length_) : count;
  }

 private:
  const char* next_;
  const char* end_;
  const char* text_ = nullptr;
  uint8_t length_ = 0;
  bool past_ = false;
};

/** Reads line[0, length), without its newline. Fields after the last known one belong to a later version. */
inline HostLine read_host_line(const char* line, uint8_t length) {
  HostLine read = {Fault::none, Command::unreadable, 0, Kind::force, 0};
  uint8_t payload_length = 0;
  read.fault = open_line(line, length, payload_length);
  if (read.fault != Fault::none) return read;

  Fields fields(line, payload_length);
  const uint8_t command = fields.word(command_words, readable_commands);
  if (command == readable_commands) {
    read.fault = Fault::unknown_type;
    return read;
  }
  constexpr uint8_t kinds = sizeof kind_words / sizeof kind_words[0];
  uint32_t tag = 0;
  bool sound = fields.number(UINT8_MAX, tag);
  if (sound && command == static_cast<uint8_t>(Command::rate)) {
    const uint8_t kind = fields.word(kind_words, kinds);
    sound = kind < kinds;
    read.kind = static_cast<Kind>(kind);
  }
  if (sound && command >= static_cast<uint8_t>(Command::rate)) sound = fields.number(UINT32_MAX, read.value_mHz);
  if (!sound) {
    read.fault = Fault::malformed;
    return read;
  }
  read.command = static_cast<Command>(command);
  read.tag = static_cast<uint8_t>(tag);
  return read;
}

}  // namespace dashpot
