#pragma once
#include <stdint.h>

#include "contact.h"
#include "event_queue.h"
#include "guard.h"
#include "host_line.h"
#include "line_in.h"
#include "line_out.h"
#include "soft_start.h"

namespace dashpot {

/** A sample as a board takes it. */
struct Sample {
  uint32_t stamp_us;
  int32_t counts;
};

/** What a board says of a channel; the rate may change with a `RATE` command. */
struct Channel {
  Kind kind;
  Unit unit;
  int32_t counts_min;
  int32_t counts_max;
  int32_t delay_us;
  Kernel kernel;
};

/**
 * All that a rig does, on any board: answers the host, streams samples, watches the drive. `step` is called for ever.
 * @tparam Board the pins, timers and wires; what it must have is written in boards/README.md
 */
template <class Board>
class Rig {
 public:
  Rig() : guard_(Board::limits()), power_(Board::drive_range()) {}

  /** Tells that the board has started. A newline first ends whatever a reset cut short. */
  void begin() {
    Board::write("\n", 1);
    tell(Event::boot, Board::reset_cause());
    last_look_us_ = Board::now_us();
  }

  /** One round: host, samples, drive. Takes well under a millisecond and never waits. */
  void step() {
    hear_host();
    take_samples();
    const uint32_t now_us = Board::now_us();
    if (since_us(last_look_us_, now_us) >= 1000) {
      last_look_us_ += 1000;
      each_millisecond(now_us);
    }
    send_what_waits();
  }

 private:
  /** Bytes that samples leave free for replies, events and the identity: the longest line of these. */
  static constexpr uint8_t reserve = 96;
  static constexpr uint8_t longest_reply = 40;
  static constexpr uint8_t longest_event = 50;
  static constexpr uint8_t longest_sample = 36;
  static constexpr uint8_t overrun_notice_ms = 100;
  /** Identity lines in their order, then the reply; nothing waits. */
  enum class Part : uint8_t { identity, force, position, drive, reply, none };

  void hear_host() {
    // A line is only read when its answer has room, so that no answer is ever dropped. The wait is 2 ms at most.
    while (Board::room() >= longest_reply && Board::heard()) {
      if (line_in_.add(static_cast<char>(Board::read()))) obey(read_host_line(line_in_.text(), line_in_.length()));
    }
  }

  void obey(const HostLine& line) {
    switch (line.fault) {
      case Fault::none:
        break;
      case Fault::empty:
        return;
      case Fault::unknown_type:
        return refuse(line, Refusal::unknown_command);
      case Fault::malformed:
        return refuse(line, Refusal::bad_argument);
      default:
        return refuse(line, Refusal::bad_checksum);
    }
    switch (line.command) {
      case Command::identify:
        identity_tag_ = line.tag;
        identity_part_ = Part::identity;
        return;
      case Command::start:
        if (sampling_) return refuse(line, Refusal::busy);
        sampling_ = true;
        dropped_ = untold_ = 0;
        Board::sample_position(true);
        return done(line);
      case Command::stop:
        if (!sampling_) return refuse(line, Refusal::not_running);
        sampling_ = false;
        Board::sample_position(false);
        begin_line('A');
        line_out_.word(command_words, line.command);
        line_out_.number(line.tag);
        line_out_.number(dropped_);
        return send();
      case Command::tare:
        done(line);
        return tell(Event::tare, line.tag);
      case Command::rate:
        if (sampling_) return refuse(line, Refusal::busy);
        if (!Board::set_rate(line.kind, line.value_mHz)) return refuse(line, Refusal::bad_argument);
        return done(line);
      case Command::drive:
        return drive(line);
      case Command::halt:
        stop_drive();
        return done(line);
      default:
        return guard_.renew(Board::now_us());
    }
  }

  void drive(const HostLine& line) {
    if (!Board::has_drive) return refuse(line, Refusal::no_drive);
    if (Board::tripped()) return refuse(line, Refusal::tripped);
    if (!power_.can_do(line.value_mHz)) return refuse(line, Refusal::bad_argument);
    power_.turn(line.value_mHz);
    guard_.engage(Board::now_us());
    done(line);
  }

  void stop_drive() {
    if (!Board::has_drive) return;
    Board::power(0);
    power_.stop();
    guard_.release();
  }

  /** Stops first and tells second. */
  void heed(const Trip& trip) {
    if (!trip.happened) return;
    stop_drive();
    if (Board::tripped()) return;
    Board::remember_trip(true);
    tell(trip.event, trip.value);
  }

  void take_samples() {
    Sample sample;
    if (Board::take_force(sample)) {
      heed(guard_.look_at_force(Board::now_us(), sample.counts));
      stream('F', sample);
    }
    if (Board::take_position(sample)) stream('P', sample);
  }

  void stream(char type, const Sample& sample) {
    if (!sampling_) return;
    if (Board::room() < longest_sample + reserve) return drop();
    begin_line(type);
    line_out_.number(sample.stamp_us);
    line_out_.integer(sample.counts);
    send();
  }

  void drop() {
    sequence_++;
    dropped_++;
    untold_++;
  }

  void each_millisecond(uint32_t now_us) {
    if (Board::has_drive) {
      heed(guard_.look_at_time(now_us));
      look_at_switches();
      Board::power(guard_.engaged() ? power_.step() : 0);
    }
    if (notice_wait_ms_ > 0) notice_wait_ms_--;
    if (untold_ > 0 && notice_wait_ms_ == 0) {
      notice_wait_ms_ = overrun_notice_ms;
      tell(Event::overrun, static_cast<int32_t>(untold_));
      untold_ = 0;
    }
  }

  /** Switches trip whether the drive turns or not; none may be pressed when someone re-arms. */
  void look_at_switches() {
    bool any_pressed = stop_.pressed(Board::stop_pressed());
    if (any_pressed) heed({true, Event::operator_stop, 0});
    for (uint8_t i = 0; i < Board::end_switches; i++) {
      if (!end_[i].pressed(Board::end_pressed(i))) continue;
      any_pressed = true;
      heed({true, Event::end_switch, i + 1});
    }
    if (rearm_.was_held(Board::rearm_pressed()) && !any_pressed && Board::tripped()) {
      Board::remember_trip(false);
      tell(Event::rearmed, 0);
    }
  }

  void send_what_waits() {
    while (!events_.empty() && Board::room() >= longest_event) {
      const WaitingEvent event = events_.take();
      begin_line('E');
      line_out_.number(event.time_us);
      line_out_.word(event_words, event.event);
      line_out_.integer(event.value);
      send();
    }
    if (identity_part_ != Part::none && Board::room() >= reserve) send_identity_part();
  }

  void send_identity_part() {
    switch (identity_part_) {
      case Part::identity:
        begin_line('I');
        line_out_.number(protocol_version);
        line_out_.name(Board::firmware_name());
        line_out_.name(Board::rig_name());
        line_out_.number(2);
        line_out_.word(drive_words, Board::has_drive ? DriveKind::speed : DriveKind::none);
        send();
        identity_part_ = Part::force;
        return;
      case Part::force:
        send_channel(Board::force_channel(), Board::rate_mHz(Kind::force));
        identity_part_ = Part::position;
        return;
      case Part::position:
        send_channel(Board::position_channel(), Board::rate_mHz(Kind::position));
        identity_part_ = Board::has_drive ? Part::drive : Part::reply;
        return;
      case Part::drive:
        begin_line('V');
        line_out_.number(Board::drive_range().slowest_mHz);
        line_out_.number(Board::drive_range().fastest_mHz);
        line_out_.number(Board::limits().lease_us / 1000);
        send();
        identity_part_ = Part::reply;
        return;
      default:
        begin_line('A');
        line_out_.word(command_words, Command::identify);
        line_out_.number(identity_tag_);
        send();
        identity_part_ = Part::none;
    }
  }

  void send_channel(const Channel& channel, uint32_t rate_mHz) {
    begin_line('C');
    line_out_.word(kind_words, channel.kind);
    line_out_.word(unit_words, channel.unit);
    line_out_.integer(channel.counts_min);
    line_out_.integer(channel.counts_max);
    line_out_.number(rate_mHz);
    line_out_.integer(channel.delay_us);
    line_out_.word(kernel_words, channel.kernel);
    send();
  }

  void done(const HostLine& line) {
    begin_line('A');
    line_out_.word(command_words, line.command);
    line_out_.number(line.tag);
    send();
  }

  void refuse(const HostLine& line, Refusal code) {
    begin_line('N');
    line_out_.word(command_words, line.command);
    line_out_.number(line.tag);
    line_out_.word(refusal_words, code);
    send();
  }

  /** An event keeps the time at which it happened until the line out has room for it. */
  void tell(Event event, int32_t value) {
    if (!events_.put({Board::now_us(), event, value})) drop();
  }

  void begin_line(char type) { line_out_.begin(type, sequence_++); }

  void send() {
    const uint8_t length = line_out_.seal();
    Board::write(line_out_.text(), length);
  }

  Guard guard_;
  SoftStart power_;
  StopContact stop_;
  StopContact end_[Board::end_switches > 0 ? Board::end_switches : 1];
  HeldButton rearm_;
  LineIn line_in_;
  LineOut line_out_;
  EventQueue events_;
  /** Numbers every line that was wanted, sent or not. */
  uint16_t sequence_ = 0;
  /** Lines dropped since START, and since the host was last told. */
  uint32_t dropped_ = 0;
  uint32_t untold_ = 0;
  uint8_t notice_wait_ms_ = 0;
  bool sampling_ = false;
  uint8_t identity_tag_ = 0;
  Part identity_part_ = Part::none;
  /** When switches and clock were last looked at. */
  uint32_t last_look_us_ = 0;
};

}  // namespace dashpot
