import type { Tolerance } from '../../analysis/index.js';
import { badInput } from './failure.js';

const wanted =
  "a share or a force, such as 5% or 0.2N or '5%,0.2N', where needed with a direction and speeds in mm/s: rebound:100-300:8%";

/**
 * Reads `--tolerance` values: `5%`, `0.2N`, `5%,0.2N` (the larger counts), `rebound:8%`, `compression:100-300:0.3N`,
 * `200-:10%`.
 * @returns in the order in which they are asked: where several cover a speed, the one written last counts
 */
export function tolerances(texts: readonly string[]): Tolerance[] {
  return texts.map(tolerance).reverse();
}

function tolerance(text: string): Tolerance {
  const refuse = () => badInput(`--tolerance ${text}`, wanted);
  const parts = text.split(':').map((part) => part.trim());
  const size = parts.pop()!;
  let direction: Tolerance['direction'] = 'both';
  let [from, to] = [0, Number.POSITIVE_INFINITY];
  for (const part of parts) {
    const range = /^(\d+(?:[.,]\d+)?)?-(\d+(?:[.,]\d+)?)?$/.exec(part);
    if (part === 'compression' || part === 'rebound') direction = part;
    else if (range && part !== '-') {
      from = range[1] === undefined ? 0 : number(range[1]) / 1e3;
      to = range[2] === undefined ? Number.POSITIVE_INFINITY : number(range[2]) / 1e3;
    } else throw refuse();
  }
  const sizes = [...size.matchAll(/(\d+(?:[.,]\d+)?)\s*(%|N)/g)];
  const rest = size.replace(/(\d+(?:[.,]\d+)?)\s*(%|N)/g, '').replace(/,|\bor\b|\s/g, '');
  if (sizes.length === 0 || rest !== '') throw refuse();
  const of = (unit: string) => number(sizes.find((found) => found[2] === unit)?.[1] ?? '0');
  const [percent, force_N] = [of('%'), of('N')];
  if (percent + force_N === 0 || to <= from) throw refuse();
  return { direction, from_m_per_s: from, to_m_per_s: to, percent, force_N };
}

const number = (text: string): number => Number(text.replace(',', '.'));
