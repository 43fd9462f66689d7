#pragma once
#include <stdint.h>

#include "words.h"

namespace dashpot {

struct WaitingEvent {
  uint32_t time_us;
  Event event;
  int32_t value;
};

/** Events that wait for room on the line out, in their order. */
class EventQueue {
 public:
  bool empty() const { return count_ == 0; }

  /** @return false when there is no place; the event is lost then */
  bool put(const WaitingEvent& event) {
    if (count_ == places) return false;
    waiting_[(first_ + count_) & (places - 1)] = event;
    count_++;
    return true;
  }

  /** Takes the oldest; the caller has seen that there is one. */
  WaitingEvent take() {
    const WaitingEvent event = waiting_[first_];
    first_ = (first_ + 1) & (places - 1);
    count_--;
    return event;
  }

 private:
  static constexpr uint8_t places = 8;
  WaitingEvent waiting_[places];
  uint8_t first_ = 0;
  uint8_t count_ = 0;
};

}  // namespace dashpot
