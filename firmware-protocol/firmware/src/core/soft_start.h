#pragma once
#include <stdint.h>

namespace dashpot {

/** What a drive can do. Speeds are of the crank, in thousandths of a revolution per second. */
struct DriveRange {
  uint32_t slowest_mHz;
  uint32_t fastest_mHz;
  /** Speed that the motor makes with the power fully on; the owner measures it once. */
  uint32_t full_power_mHz;
  /** From rest to full power. */
  uint16_t soft_start_ms;
};

/**
 * Power of the drive on its way to what is wanted: up and down in equal steps a millisecond, and off at once.
 * Powers are shares of 65 535.
 */
class SoftStart {
 public:
  explicit SoftStart(const DriveRange& range)
      : range_(range), step_(static_cast<uint16_t>(UINT16_MAX / range.soft_start_ms + 1)) {}

  bool can_do(uint32_t speed_mHz) const {
    return speed_mHz >= range_.slowest_mHz && speed_mHz <= range_.fastest_mHz;
  }

  /** Wants a speed that the drive can do; at most 65 rev/s, so that the product keeps within 32 bits. */
  void turn(uint32_t speed_mHz) {
    wanted_ = static_cast<uint16_t>(speed_mHz * UINT16_MAX / range_.full_power_mHz);
  }

  void stop() { wanted_ = power_ = 0; }

  /** Goes on for a millisecond. @return the power now, 0 to 255 */
  uint8_t step() {
    if (power_ < wanted_) power_ = wanted_ - power_ > step_ ? static_cast<uint16_t>(power_ + step_) : wanted_;
    else power_ = power_ - wanted_ > step_ ? static_cast<uint16_t>(power_ - step_) : wanted_;
    return static_cast<uint8_t>(power_ >> 8);
  }

 private:
  const DriveRange range_;
  const uint16_t step_;
  uint16_t wanted_ = 0;
  uint16_t power_ = 0;
};

}  // namespace dashpot
