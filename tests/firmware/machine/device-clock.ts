import type { SimulatedBoard } from './simulated-board.js';

const OVERFLOW_US = 32_768;
const MEMORY = { from: 0x100, to: 0x900 };

/**
 * Sets the program's clock as if it had run for so long: finds its count of timer overflows by watching memory through
 * some of them, and writes another there. What the timer itself shows stays.
 * @throws Error where nothing counts as the clock does
 * Notes: a copy that the program keeps of its count looks the same and is written too; the next stamp replaces it.
 */
export function setDeviceClock(board: SimulatedBoard, time_us: number): void {
  let places = Array.from({ length: MEMORY.to - MEMORY.from - 3 }, (_, i) => MEMORY.from + i);
  for (let watched = 0; watched < 6; watched++) {
    const { dataView } = board.chip.cpu;
    const seen = new Map(places.map((place) => [place, dataView.getUint32(place, true)]));
    board.runFor(OVERFLOW_US / 1e6);
    const now = Math.floor((board.time_s * 1e6) / OVERFLOW_US);
    places = places.filter((place) => {
      const count = dataView.getUint32(place, true);
      return count === seen.get(place)! + 1 && Math.abs(count - now) <= 1;
    });
  }
  if (places.length === 0) throw new Error('found nothing that counts overflows');
  for (const place of places)
    board.chip.cpu.dataView.setUint32(place, Math.floor(time_us / OVERFLOW_US), true);
}
