import { look } from '../address.js';
import { view } from './selection.js';

/** Takes a build out of the pictures, or puts it back; tables and sentences keep it. */
export function toggleHidden(id: number): void {
  const { hidden } = view.value;
  look({ hidden: hidden.includes(id) ? hidden.filter((other) => other !== id) : [...hidden, id] });
}
