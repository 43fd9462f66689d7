#pragma once
#include <stdint.h>

#include "channel.h"
#include "event_queue.h"
#include "line_out.h"

namespace dashpot {

/**
 * All lines to the host. Samples are dropped whole where there is no room, and counted; replies, events and the
 * identity wait for room that samples leave them.
 */
template <class Board>
class Sender {
 public:
  /** Whether any answer has room now, so that none is ever dropped. */
  bool can_answer() const { return Board::room() >= longest_reply; }

  /** Counts dropped lines from here. */
  void begin_run() { dropped_ = untold_ = 0; }

  uint32_t dropped() const { return dropped_; }

  void sample(char type, const Sample& sample) {
    if (Board::room() < longest_sample + reserve) return drop();
    begin(type);
    line_.number(sample.stamp_us);
    line_.integer(sample.counts);
    send();
  }

  void done(Command command, uint8_t tag) {
    begin_reply(command, tag);
    send();
  }

  void done(Command command, uint8_t tag, uint32_t field) {
    begin_reply(command, tag);
    line_.number(field);
    send();
  }

  void refuse(Command command, uint8_t tag, Refusal code) {
    begin('N');
    line_.word(command_words, command);
    line_.number(tag);
    line_.word(refusal_words, code);
    send();
  }

  /** Tells of an event, with the time at which it happened, as soon as there is room. */
  void tell(Event event, int32_t value) {
    if (!events_.put({Board::now_us(), event, value})) drop();
  }

  /** Says what the rig is, line by line as there is room. */
  void identify(uint8_t tag) {
    identity_tag_ = tag;
    part_ = Part::identity;
  }

  void each_millisecond() {
    if (notice_wait_ms_ > 0) notice_wait_ms_--;
    if (untold_ == 0 || notice_wait_ms_ > 0) return;
    notice_wait_ms_ = overrun_notice_ms;
    tell(Event::overrun, static_cast<int32_t>(untold_));
    untold_ = 0;
  }

  void send_what_waits() {
    while (!events_.empty() && Board::room() >= longest_event) {
      const WaitingEvent event = events_.take();
      begin('E');
      line_.number(event.time_us);
      line_.word(event_words, event.event);
      line_.integer(event.value);
      send();
    }
    if (part_ != Part::none && Board::room() >= reserve) send_identity_part();
  }

 private:
  /** Bytes that samples leave free for all other lines: the longest of these. */
  static constexpr uint8_t reserve = 96;
  static constexpr uint8_t longest_reply = 40;
  static constexpr uint8_t longest_event = 50;
  static constexpr uint8_t longest_sample = 36;
  static constexpr uint8_t overrun_notice_ms = 100;
  static constexpr uint8_t channels = Board::has_thermometer ? 3 : 2;

  /** Lines of an answer to `ID`, in their order. */
  enum class Part : uint8_t { identity, force, position, temperature, drive, reply, none };
  static constexpr Part after_channels = Board::has_drive ? Part::drive : Part::reply;

  void drop() {
    sequence_++;
    dropped_++;
    untold_++;
  }

  void send_identity_part() {
    switch (part_) {
      case Part::identity:
        begin('I');
        line_.number(protocol_version);
        line_.name(Board::firmware_name());
        line_.name(Board::rig_name());
        line_.number(channels);
        line_.word(drive_words, Board::has_drive ? DriveKind::speed : DriveKind::none);
        part_ = Part::force;
        return send();
      case Part::force:
        part_ = Part::position;
        return send_channel(Board::force_channel(), Board::rate_mHz(Kind::force));
      case Part::position:
        part_ = Board::has_thermometer ? Part::temperature : after_channels;
        return send_channel(Board::position_channel(), Board::rate_mHz(Kind::position));
      case Part::temperature:
        part_ = after_channels;
        return send_channel(Board::temperature_channel(), Board::rate_mHz(Kind::temperature));
      case Part::drive:
        begin('V');
        line_.number(Board::drive_range().slowest_mHz);
        line_.number(Board::drive_range().fastest_mHz);
        line_.number(Board::limits().lease_us / 1000);
        part_ = Part::reply;
        return send();
      default:
        part_ = Part::none;
        return done(Command::identify, identity_tag_);
    }
  }

  void send_channel(const Channel& channel, uint32_t rate_mHz) {
    begin('C');
    line_.word(kind_words, channel.kind);
    line_.word(unit_words, channel.unit);
    line_.integer(channel.counts_min);
    line_.integer(channel.counts_max);
    line_.number(rate_mHz);
    line_.integer(channel.delay_us);
    line_.word(kernel_words, channel.kernel);
    send();
  }

  void begin_reply(Command command, uint8_t tag) {
    begin('A');
    line_.word(command_words, command);
    line_.number(tag);
  }

  void begin(char type) { line_.begin(type, sequence_++); }

  void send() {
    const uint8_t length = line_.seal();
    Board::write(line_.text(), length);
  }

  LineOut line_;
  EventQueue events_;
  /** Numbers every line that was wanted, sent or not. */
  uint16_t sequence_ = 0;
  /** Lines dropped in this run, and since the host was last told. */
  uint32_t dropped_ = 0;
  uint32_t untold_ = 0;
  uint8_t notice_wait_ms_ = 0;
  uint8_t identity_tag_ = 0;
  Part part_ = Part::none;
};

}  // namespace dashpot
