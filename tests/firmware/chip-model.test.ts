import { AVRTimer, CPU, timer1Config } from 'avr8js';
import { describe, expect, it } from 'vitest';
import { frequency_Hz } from './machine/chip.js';
import { conversation } from './machine/conversation.js';
import { setDeviceClock } from './machine/device-clock.js';
import { timer1 } from './machine/timer1.js';

/** Writes and reads a 16-bit register as a program does: the high byte first in, the low byte first out. */
const write16 = (cpu: CPU, register: number, value: number) => {
  cpu.writeData(register + 1, value >> 8);
  cpu.writeData(register, value & 0xff);
};
const read16 = (cpu: CPU, register: number) => cpu.readData(register) | (cpu.readData(register + 1) << 8);

describe('the corrected serial unit', () => {
  it('fills the line: 99.9 % of what its baud rate carries', () => {
    let bytes = 0;
    const talk = conversation({ program: 'slide', seed: 1, onByte: () => bytes++ });
    talk.listen(0.02);
    // Ten digits of time make lines longer than the wire can carry a thousand of.
    setDeviceClock(talk.board, 2e9);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 1_000_000 });
    talk.ask({ type: 'start', tag: 2 });
    talk.listen(0.2);
    bytes = 0;
    talk.listen(1);
    expect(bytes / 25_000).toBeGreaterThan(0.999);
    expect(bytes).toBeLessThanOrEqual(25_001);
  });

  it('brings in 100 of 100 commands while samples go out', () => {
    const talk = conversation({ program: 'slide-500000', seed: 1 });
    talk.board.baudRate = 500_000;
    talk.listen(0.02);
    talk.ask({ type: 'start', tag: 1 });
    for (let tag = 1; tag <= 100; tag++) {
      talk.tell({ type: 'tare', tag });
      talk.listen(0.003);
    }
    talk.listen(0.02);
    const answered = talk.frames.flatMap((frame) =>
      frame.type === 'reply' && frame.command === 'tare' ? [frame.tag] : [],
    );
    expect(answered).toEqual(Array.from({ length: 100 }, (_, i) => i + 1));
    expect(talk.events().filter(({ event }) => event === 'tare')).toHaveLength(100);
    expect(talk.board.chip.usart.overrun).toBe(0);
  });

  it('loses bytes that nobody takes, as the real one does after three', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.02);
    const { usart, cpu } = talk.board.chip;
    cpu.data[95]! &= 0x7f;
    for (const byte of [1, 2, 3, 4, 5]) usart.receive(byte);
    expect(usart.overrun).toBe(2);
  });
});

describe('the timer that knows when its flags are due', () => {
  it('counts and flags as the one that wakes at every tick', () => {
    const cpus = [new CPU(new Uint16Array(16)), new CPU(new Uint16Array(16))] as const;
    new AVRTimer(cpus[0], timer1Config);
    timer1(cpus[1]);
    const { TCCRB, OCRA, OCRB, TCNT, TIFR } = timer1Config;
    // The flags are read when both are sure to have them, a tick after.
    const seen: number[][] = [[], []];
    for (const [i, cpu] of cpus.entries()) {
      const pass = (cycles: number) => {
        for (let end = cpu.cycles + cycles; cpu.cycles < end; cpu.tick()) cpu.cycles++;
      };
      cpu.writeData(TCCRB, 0x02);
      pass(1);
      for (let n = 0; n < 40; n++) {
        write16(cpu, OCRA, (n * 7919) & 0xffff);
        write16(cpu, OCRB, (n * 104_729) & 0xffff);
        pass(8 * (1500 + 613 * n));
        seen[i]!.push(read16(cpu, TCNT), cpu.data[TIFR]!);
        cpu.writeData(TIFR, 0x27);
      }
    }
    expect(seen[0]!.filter((value) => value > 0).length).toBeGreaterThan(60);
    for (const [k, value] of seen[1]!.entries())
      if (k % 2 === 0) expect(Math.abs(value - seen[0]![k]!)).toBeLessThanOrEqual(1);
      else expect(value & 0x07).toBe(seen[0]![k]! & 0x07);
  });
});

describe('sleep', () => {
  it('changes nothing that is measured, and saves most of the work', () => {
    const record = (options: { insomnia: boolean }) => {
      const talk = conversation({ program: 'slide', seed: 3 });
      const { progMem } = talk.board.chip.cpu;
      // SLEEP becomes NOP: the program then looks for work all the time.
      if (options.insomnia) progMem.set(progMem.map((word) => (word === 0x9588 ? 0 : word)));
      talk.listen(0.02);
      talk.ask({ type: 'start', tag: 1 });
      talk.listen(1);
      return { talk, awake: talk.board.chip.awake / talk.board.chip.cpu.cycles };
    };
    const rested = record({ insomnia: false });
    const tired = record({ insomnia: true });
    expect(tired.awake).toBeGreaterThan(0.99);
    expect(rested.awake).toBeLessThan(0.3);
    const force = rested.talk.samples('force').map(({ deviceTime_us, counts }) => [deviceTime_us, counts]);
    expect(tired.talk.samples('force').map(({ deviceTime_us, counts }) => [deviceTime_us, counts])).toEqual(
      force,
    );
    expect(force.length).toBeGreaterThan(75);
  });
});

describe('a reset', () => {
  it('by the watchdog clears the registers, keeps the memory, and leaves a serial unit that works', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    const { cpu } = talk.board.chip;
    talk.board.hang();
    cpu.data[0x600] = 0x5a;
    const frames = talk.listen(0.2);
    expect(talk.board.resets.map(({ cause }) => cause)).toEqual(['power', 'watchdog']);
    expect(talk.board.chip.cpu).not.toBe(cpu);
    expect(talk.board.chip.cpu.data[0x600]).toBe(0x5a);
    expect(frames).toMatchObject([{ type: 'event', event: 'boot', value: 8, sequence: 0 }]);
    expect(talk.ask({ type: 'identify', tag: 9 }).type).toBe('reply');
  });

  it('by the watchdog leaves it running at its shortest: a start that does not stop it resets again', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    const { progMem } = talk.board.chip.cpu;
    talk.board.hang();
    // The start itself hangs now: its first instruction is a jump to itself.
    progMem[progMem[1]!] = 0xcfff;
    talk.listen(0.12 + 10 * 0.017);
    const cycles = talk.board.resets.slice(1).map(({ cycle }) => cycle);
    expect(cycles.length).toBeGreaterThanOrEqual(9);
    expect((cycles.at(-1)! - cycles.at(-2)!) / frequency_Hz).toBeCloseTo(0.016, 3);
  });

  it.each([
    ['a silent host', [], 1.41],
    ['a host that asks after 100 ms', [[0.1, 'ID,1*BDBF\n']], 0.4],
    ['a host that happens to say the loader’s own word', [[0.1, '\x30\x20']], 1.41],
  ] as const)('from outside goes through the boot loader: %s', (_who, said, start_s) => {
    const bytes: number[] = [];
    const talk = conversation({
      program: 'slide',
      seed: 1,
      bootLoader: true,
      onByte: (byte) => bytes.push(byte),
    });
    talk.listen(0.1);
    bytes.length = 0;
    const reset_s = talk.board.time_s;
    talk.board.reset();
    for (const [at_s, text] of said) {
      talk.listen(at_s);
      talk.send(text);
    }
    while (talk.events().length < 2) talk.listen(0.005);
    expect(talk.board.time_s - reset_s).toBeGreaterThan(start_s - 0.03);
    expect(talk.board.time_s - reset_s).toBeLessThan(start_s + 0.03);
    // What the loader swallowed was not kept for later.
    talk.listen(0.1);
    expect(talk.frames.filter(({ type }) => type === 'reply')).toEqual([]);
    expect(bytes.slice(0, 2)).toEqual(said[0]?.[1] === '\x30\x20' ? [0x14, 0x10] : [0x0a, 0x45]);
  });
});
