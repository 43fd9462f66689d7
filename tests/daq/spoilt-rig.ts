import type { BindingPort, PortBinding } from '../../daq/ports/port-binding.js';
import { type SimulatedRigOptions, simulatedRig } from '../../daq/simulated-rig/index.js';
import { sealLine } from '../../firmware-protocol/index.js';

/** A line that goes on exactly as it stands, newline included. */
export interface Raw {
  readonly raw: string;
  /** Whether it takes the place of the line in the count, which otherwise closes up. */
  readonly isCounted?: boolean;
}

/** What a device does otherwise than the simulated rig does. */
export interface Spoiling {
  /**
   * What the host hears instead of a payload (empty for an empty line): payloads, which are numbered anew and sealed,
   * so that none is missed, and raw lines. Left out, all go on as they are.
   */
  toHost?(payload: string): readonly (string | Raw)[];
  /**
   * What the device hears instead of a line (without its newline), and what is answered in its place.
   * @returns lines, sealed where they are payloads
   */
  toDevice?(line: string, answer: (payload: string) => void): readonly (string | Raw)[];
}

/** The simulated rig with somebody in between who breaks one rule. */
export function spoiltRig({ toHost, toDevice }: Spoiling, options: Partial<SimulatedRigOptions> = {}) {
  // Few lines, so that the tests are fast.
  const rates = { force_Hz: 80, position_Hz: 100 };
  const rig = simulatedRig({ seed: 3, build: 'oil-300', pace: 'simulated', rates, ...options });
  const heard: string[] = [];
  let inserted = 0;
  let last = 0;

  /** Numbers a payload; its place in the count is `number`. */
  const renumbered = (payload: string, number: number) =>
    seal(payload.replace(/^(\w),\d*/, (_, letter) => `${letter},${(number + 65_536) % 65_536}`));

  function outgoing(line: string): string {
    const payload = line.replace(/\*....$/, '');
    const number = Number(payload.split(',')[1] ?? last);
    if (/^E,\d+,\d+,boot,/.test(payload)) inserted = 0;
    if (payload !== '') last = number;
    const spoilt = toHost ? toHost(payload) : [payload];
    const lines = spoilt.map((each) => {
      if (typeof each !== 'string') {
        if (each.isCounted) inserted++;
        return each.raw;
      }
      return each === '' ? '\n' : renumbered(each, number + inserted++);
    });
    // The line itself has its own number.
    if (payload !== '') inserted--;
    return lines.join('');
  }

  function wrap(port: BindingPort): BindingPort {
    const fromDevice = lineCutter();
    const fromHost = lineCutter();
    let out = '';
    let reading: ReturnType<BindingPort['read']> | null = null;
    let wake = () => {};
    const answer = (payload: string) => {
      inserted++;
      out += renumbered(payload, last + inserted);
      wake();
    };
    return Object.assign(Object.create(port) as BindingPort, {
      async read(buffer: Buffer, offset: number, length: number) {
        while (out === '') {
          const inner = Buffer.alloc(4096);
          // An answer made here ends the wait; the read goes on and is met again by the next one.
          const woken = new Promise<null>((resolve) => {
            wake = () => resolve(null);
          });
          reading ??= port.read(inner, 0, inner.length);
          const result = await Promise.race([reading, woken]);
          if (result === null) continue;
          reading = null;
          const text = result.buffer.toString('latin1', 0, result.bytesRead);
          out += fromDevice(text).map(outgoing).join('');
        }
        const bytesRead = buffer.write(out.slice(0, length), offset, 'latin1');
        out = out.slice(bytesRead);
        return { buffer, bytesRead };
      },
      async write(buffer: Buffer) {
        for (const line of fromHost(buffer.toString('latin1'))) {
          heard.push(line);
          for (const each of toDevice ? toDevice(line, answer) : [{ raw: `${line}\n` }])
            await port.write(Buffer.from(typeof each === 'string' ? seal(each) : each.raw, 'latin1'));
        }
      },
    });
  }

  const binding: PortBinding = {
    list: rig.binding.list,
    open: async (openOptions) => wrap(await rig.binding.open(openOptions)),
  };
  return { path: rig.path, clock: rig.clock, binding, heard, rig };
}

const seal = (payload: string) => Buffer.from(sealLine(payload)).toString('latin1');

/** Cuts text that comes in pieces into lines. */
function lineCutter(): (text: string) => string[] {
  let kept = '';
  return (text) => {
    const lines = (kept + text).split('\n');
    kept = lines.pop()!;
    return lines;
  };
}
