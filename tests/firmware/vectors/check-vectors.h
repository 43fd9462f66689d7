#pragma once

/** Runs the protocol's vectors against the core, on the host and on the controller. */

#include <stdint.h>

#include "../../../firmware-protocol/firmware/src/core/host_line.h"
#include "../../../firmware-protocol/firmware/src/core/line_in.h"
#include "../../../firmware-protocol/firmware/src/core/line_out.h"
#include "../../../firmware-protocol/vectors/vectors.h"

namespace dashpot {

/** What a check is told of: a vector's name, in flash where that is apart, and whether it came out right. */
using Report = void (*)(const char* name, bool right);

class VectorCheck {
 public:
  explicit VectorCheck(Report report) : report_(report) {}

  void checksum(const char* name, const char* text, uint8_t length, uint16_t wanted) {
    uint16_t sum = checksum_of_nothing;
    for (uint8_t i = 0; i < length; i++) sum = checksum_with(sum, flash_byte(text + i));
    report_(name, sum == wanted);
  }

  void sample(const char* name, const char* line, uint8_t length, char letter, uint16_t sequence, uint32_t time_us,
              int32_t counts) {
    out_.begin(letter, sequence);
    out_.number(time_us);
    out_.integer(counts);
    written(name, line, length);
  }

  void event(const char* name, const char* line, uint8_t length, uint16_t sequence, uint32_t time_us, Event event,
             int32_t value) {
    out_.begin('E', sequence);
    out_.number(time_us);
    out_.word(event_words, event);
    out_.integer(value);
    written(name, line, length);
  }

  void reply(const char* name, const char* line, uint8_t length, uint16_t sequence, Command command, uint8_t tag) {
    out_.begin('A', sequence);
    out_.word(command_words, command);
    out_.number(tag);
    written(name, line, length);
  }

  void refusal(const char* name, const char* line, uint8_t length, uint16_t sequence, Command command, uint8_t tag,
               Refusal code) {
    out_.begin('N', sequence);
    out_.word(command_words, command);
    out_.number(tag);
    out_.word(refusal_words, code);
    written(name, line, length);
  }

  void identity(const char* name, const char* line, uint8_t length, uint16_t sequence, const char* firmware,
                const char* rig, uint8_t channels, DriveKind drive) {
    out_.begin('I', sequence);
    out_.number(protocol_version);
    out_.name(firmware);
    out_.name(rig);
    out_.number(channels);
    out_.word(drive_words, drive);
    written(name, line, length);
  }

  void channel(const char* name, const char* line, uint8_t length, uint16_t sequence, Kind kind, Unit unit,
               int32_t counts_min, int32_t counts_max, uint32_t rate_mHz, int32_t delay_us, Kernel kernel) {
    out_.begin('C', sequence);
    out_.word(kind_words, kind);
    out_.word(unit_words, unit);
    out_.integer(counts_min);
    out_.integer(counts_max);
    out_.number(rate_mHz);
    out_.integer(delay_us);
    out_.word(kernel_words, kernel);
    written(name, line, length);
  }

  void drive(const char* name, const char* line, uint8_t length, uint16_t sequence, uint32_t slowest_mHz,
             uint32_t fastest_mHz, uint32_t lease_ms) {
    out_.begin('V', sequence);
    out_.number(slowest_mHz);
    out_.number(fastest_mHz);
    out_.number(lease_ms);
    written(name, line, length);
  }

  void host_line(const char* name, const char* line, uint16_t length, Command command, uint8_t tag, Kind kind,
                 uint32_t value_mHz) {
    take(line, length);
    const HostLine read = read_host_line(in_.text(), in_.length());
    report_(name, read.fault == Fault::none && read.command == command && read.tag == tag && read.kind == kind &&
                      read.value_mHz == value_mHz);
  }

  void host_fault(const char* name, const char* line, uint16_t length, Fault fault) {
    take(line, length);
    report_(name, read_host_line(in_.text(), in_.length()).fault == fault);
  }

  void envelope(const char* name, const char* line, uint16_t length, Fault fault) {
    take(line, length);
    uint8_t payload_length = 0;
    report_(name, open_line(in_.text(), in_.length(), payload_length) == fault);
  }

  void stream(const char* name, const char* bytes, uint16_t length, const Fault* faults, uint8_t lines) {
    in_ = LineIn();
    uint8_t line = 0;
    bool right = true;
    for (uint16_t i = 0; i < length; i++) {
      if (!in_.add(static_cast<char>(flash_byte(bytes + i)))) continue;
      uint8_t payload_length = 0;
      const Fault fault = open_line(in_.text(), in_.length(), payload_length);
      right = right && line < lines &&
              static_cast<uint8_t>(fault) == flash_byte(reinterpret_cast<const char*>(faults + line));
      line++;
    }
    report_(name, right && line == lines);
  }

 private:
  static uint8_t flash_byte(const char* address) { return static_cast<uint8_t>(DASHPOT_FLASH_BYTE(address)); }

  void take(const char* line, uint16_t length) {
    for (uint16_t i = 0; i < length; i++) in_.add(static_cast<char>(flash_byte(line + i)));
    in_.add('\n');
  }

  void written(const char* name, const char* line, uint8_t length) {
    bool right = out_.seal() == length + 1 && out_.text()[length] == '\n';
    for (uint8_t i = 0; right && i < length; i++) right = static_cast<uint8_t>(out_.text()[i]) == flash_byte(line + i);
    report_(name, right);
  }

  Report report_;
  LineOut out_;
  LineIn in_;
};

#define DASHPOT_TEXTS(name, text)                       \
  static const char name_[] DASHPOT_IN_FLASH = name; \
  static const char text_[] DASHPOT_IN_FLASH = text;
#define DASHPOT_LIST(...) {__VA_ARGS__}

inline void check_vectors(Report report) {
  static VectorCheck check(report);
#define V(name, text, length, checksum_) \
  {                                      \
    DASHPOT_TEXTS(name, text)            \
    check.checksum(name_, text_, length, checksum_); \
  }
  DASHPOT_CHECKSUMS(V)
#undef V
#define V(name, line, length, ...)                    \
  {                                                   \
    DASHPOT_TEXTS(name, line)                         \
    check.sample(name_, text_, length, __VA_ARGS__); \
  }
  DASHPOT_SAMPLES(V)
#undef V
#define V(name, line, length, sequence, time_us, event_, value) \
  {                                                             \
    DASHPOT_TEXTS(name, line)                                   \
    check.event(name_, text_, length, sequence, time_us, Event::event_, value); \
  }
  DASHPOT_EVENTS(V)
#undef V
#define V(name, line, length, sequence, command, tag) \
  {                                                   \
    DASHPOT_TEXTS(name, line)                         \
    check.reply(name_, text_, length, sequence, Command::command, tag); \
  }
  DASHPOT_REPLIES(V)
#undef V
#define V(name, line, length, sequence, command, tag, code) \
  {                                                         \
    DASHPOT_TEXTS(name, line)                               \
    check.refusal(name_, text_, length, sequence, Command::command, tag, Refusal::code); \
  }
  DASHPOT_REFUSALS(V)
#undef V
#define V(name, line, length, sequence, firmware, rig, channels, drive) \
  {                                                                     \
    DASHPOT_TEXTS(name, line)                                           \
    static const char firmware_[] DASHPOT_IN_FLASH = firmware;          \
    static const char rig_[] DASHPOT_IN_FLASH = rig;                    \
    check.identity(name_, text_, length, sequence, firmware_, rig_, channels, DriveKind::drive); \
  }
  DASHPOT_IDENTITIES(V)
#undef V
#define V(name, line, length, sequence, kind, unit, counts_min, counts_max, rate_mHz, delay_us, kernel)        \
  {                                                                                                            \
    DASHPOT_TEXTS(name, line)                                                                                  \
    check.channel(name_, text_, length, sequence, Kind::kind, Unit::unit, counts_min, counts_max, rate_mHz, \
                  delay_us, Kernel::kernel);                                                                   \
  }
  DASHPOT_CHANNELS(V)
#undef V
#define V(name, line, length, ...)                   \
  {                                                  \
    DASHPOT_TEXTS(name, line)                        \
    check.drive(name_, text_, length, __VA_ARGS__); \
  }
  DASHPOT_DRIVES(V)
#undef V
#define V(name, line, length, command, tag, kind, value_mHz) \
  {                                                          \
    DASHPOT_TEXTS(name, line)                                \
    check.host_line(name_, text_, length, Command::command, tag, Kind::kind, value_mHz); \
  }
  DASHPOT_HOST_LINES(V)
#undef V
#define V(name, line, length, fault)                     \
  {                                                      \
    DASHPOT_TEXTS(name, line)                            \
    check.host_fault(name_, text_, length, Fault::fault); \
  }
  DASHPOT_HOST_FAULTS(V)
#undef V
#define V(name, line, length, fault)                   \
  {                                                    \
    DASHPOT_TEXTS(name, line)                          \
    check.envelope(name_, text_, length, Fault::fault); \
  }
  DASHPOT_ENVELOPES(V)
#undef V
#define V(name, bytes, length, lines, faults)                            \
  {                                                                       \
    DASHPOT_TEXTS(name, bytes)                                            \
    static const Fault faults_[] DASHPOT_IN_FLASH = DASHPOT_LIST faults; \
    check.stream(name_, text_, length, faults_, lines);                  \
  }
  DASHPOT_STREAMS(V)
#undef V
}

}  // namespace dashpot
