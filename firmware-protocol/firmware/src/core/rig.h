#pragma once
#include <stdint.h>

#include "contact.h"
#include "guard.h"
#include "host_line.h"
#include "line_in.h"
#include "sender.h"
#include "soft_start.h"

namespace dashpot {

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
    sender_.tell(Event::boot, Board::reset_cause());
  }

  /** One round: host, samples, drive. Takes well under a millisecond and never waits. */
  void step() {
    hear_host();
    take_samples();
    if (Board::millisecond_passed()) {
      if (Board::has_drive) watch_drive();
      sender_.each_millisecond();
    }
    sender_.send_what_waits();
  }

 private:
  void hear_host() {
    // A line is read only when its answer has room: 2 ms later at most.
    while (sender_.can_answer() && Board::heard())
      if (line_in_.add(static_cast<char>(Board::read())))
        answer(read_host_line(line_in_.text(), line_in_.length()));
  }

  void answer(const HostLine& line) {
    switch (line.fault) {
      case Fault::none:
        return obey(line);
      case Fault::empty:
        return;
      case Fault::unknown_type:
        return refuse(line, Refusal::unknown_command);
      case Fault::malformed:
        return refuse(line, Refusal::bad_argument);
      default:
        return refuse(line, Refusal::bad_checksum);
    }
  }

  void obey(const HostLine& line) {
    switch (line.command) {
      case Command::identify:
        return sender_.identify(line.tag);
      case Command::start:
        if (sampling_) return refuse(line, Refusal::busy);
        sampling_ = true;
        sender_.begin_run();
        Board::sample_position(true);
        return done(line);
      case Command::stop:
        if (!sampling_) return refuse(line, Refusal::not_running);
        sampling_ = false;
        Board::sample_position(false);
        return sender_.done(line.command, line.tag, sender_.dropped());
      case Command::tare:
        done(line);
        return sender_.tell(Event::tare, line.tag);
      case Command::rate:
        if (sampling_) return refuse(line, Refusal::busy);
        if (!Board::set_rate(line.kind, line.value_mHz)) return refuse(line, Refusal::bad_argument);
        return done(line);
      case Command::drive:
        return turn(line);
      case Command::halt:
        stop_drive();
        return done(line);
      default:
        return guard_.renew(Board::now_us());
    }
  }

  void done(const HostLine& line) { sender_.done(line.command, line.tag); }
  void refuse(const HostLine& line, Refusal code) { sender_.refuse(line.command, line.tag, code); }

  void turn(const HostLine& line) {
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
    sender_.tell(trip.event, trip.value);
  }

  void take_samples() {
    Sample sample;
    if (Board::take_force(sample)) {
      heed(guard_.look_at_force(Board::now_us(), sample.counts));
      if (sampling_) sender_.sample('F', sample);
    }
    if (Board::take_position(sample) && sampling_) sender_.sample('P', sample);
    if (Board::take_temperature(sample) && sampling_) sender_.sample('T', sample);
  }

  void watch_drive() {
    heed(guard_.look_at_time(Board::now_us()));
    look_at_switches();
    Board::power(guard_.engaged() ? power_.step() : 0);
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
      sender_.tell(Event::rearmed, 0);
    }
  }

  Guard guard_;
  SoftStart power_;
  StopContact stop_;
  StopContact end_[Board::end_switches > 0 ? Board::end_switches : 1];
  HeldButton rearm_;
  LineIn line_in_;
  Sender<Board> sender_;
  bool sampling_ = false;
};

}  // namespace dashpot
