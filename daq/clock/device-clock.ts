/**
 * Unwraps a device's 32-bit microseconds, which start again every 71.6 minutes, into one running count.
 * One unwrapper serves all channels of a rig, since they share its counter: a stamp is placed within ±35.8
 * minutes of the latest time seen, so channels may interleave across the wrap and come slightly out of order.
 * @returns a function from a stamp (0..2³²-1) to microseconds since the device's counter last started from
 *   zero before the first stamp; exact in a float64 for 285 years
 */
export function deviceClock(): (deviceTime_us: number) => number {
  let latest_us = -1;
  return (deviceTime_us) => {
    if (latest_us < 0) latest_us = deviceTime_us;
    // The difference as a signed 32-bit number is right whichever side of a wrap the two are on.
    const time_us = latest_us + ((deviceTime_us - latest_us) | 0);
    latest_us = Math.max(latest_us, time_us);
    return time_us;
  };
}
