import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { provenLoads } from './proven-loads.js';
import { firmwareFolder } from './toolchain.js';

const text = (path: string) => readFileSync(join(firmwareFolder, path), 'utf8');
const readme = text('../README.md');

/** Rows of the table that follows a heading cell, as trimmed cells. */
function table(heading: string, document = readme): string[][] {
  const lines = document.split('\n');
  const first = lines.findIndex((line) => line.startsWith(`| ${heading} `)) + 2;
  const rows = lines.slice(
    first,
    lines.findIndex((line, i) => i >= first && !line.startsWith('|')),
  );
  return rows.map((row) =>
    row
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
}

describe('the firmware’s documents', () => {
  it('wire each pin as the board layer does', () => {
    const wired = table('pin').map(([pin, goesTo]) => [pin, goesTo!.split(/[,(]/)[0]!.trim()]);
    const inSource = [
      ...text('src/boards/atmega328p/pins.h').matchAll(/^ \* {3}(\w+) +P[BCD]\d {2}([^(,\n]+)/gm),
    ];
    expect(wired.length).toBe(11);
    expect(new Map(wired.map(([pin, to]) => [pin, to]))).toEqual(
      new Map(inSource.map(([, pin, to]) => [pin!, to!.trim()])),
    );
    const drawing = text('wiring/wiring.svg');
    for (const [pin] of wired) expect(drawing).toContain(`>${pin}</text>`);
  });

  it('say what is left of a step as the converter’s averaging leaves it', () => {
    const rows = table('conversions/s');
    expect(rows.map(([rate]) => Number(rate))).toEqual([10, 80, 320, 1000]);
    for (const [rate, ...cells] of rows)
      for (const [i, cell] of cells.entries()) {
        const speed_Hz = [1, 2, 4, 8][i]!;
        const phase = (3 * Math.PI * speed_Hz) / Number(rate);
        // The fastest parts settle in three conversions, the others in four.
        const gain = Math.abs(Math.sin(phase) / phase) ** (rate === '1000' ? 3 : 4);
        const perTurn = Number(rate) / speed_Hz;
        const text = `${perTurn} / ${gain.toFixed(2)}`;
        expect(cell).toBe(perTurn >= 16 ? `**${text}**` : text);
      }
  });

  it('promise the line rates that the loop has proven', () => {
    const promised = table('baud').map((row) => row.map(Number));
    expect(promised).toEqual(
      provenLoads.map(({ baud, force_Hz, position_Hz }) => [baud, force_Hz, position_Hz]),
    );
  });

  it('list every program there is', () => {
    const listed = table('program').flatMap(([names]) =>
      [...names!.matchAll(/`([^`]+)`/g)].map(([, name]) => name!),
    );
    const [, made] = /^PROGRAMS := (.+)$/m.exec(text('Makefile'))!;
    expect(listed.toSorted()).toEqual(made!.split(' ').toSorted());
  });

  it('tell a board layer’s author of every member that the core calls', () => {
    const told = table('member', text('src/boards/README.md')).flatMap(([members]) =>
      [...members!.matchAll(/(\w+)(?=\(|`)/g)].map(([, member]) => member!),
    );
    const called = [
      ...`${text('src/core/rig.h')}${text('src/core/sender.h')}${text('src/dashpot_rig.h')}`.matchAll(
        /Board::(\w+)/g,
      ),
    ];
    const members = new Set(called.map(([, member]) => member!).filter((member) => member !== 'Board'));
    expect(members.size).toBeGreaterThan(20);
    expect([...members].filter((member) => !told.includes(member))).toEqual([]);
    expect(told.filter((member) => !members.has(member))).toEqual([]);
  });
});
