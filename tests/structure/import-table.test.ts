import { describe, expect, it } from 'vitest';
import { importCycles, importViolations, zoneOf } from './import-rules.js';
import { readSourceTree, rooms, sourceTree } from './source-tree.js';

const modules = readSourceTree(process.cwd());

describe('the rooms', () => {
  it('are seen at all, with imports of every kind', () => {
    expect(modules.length).toBeGreaterThan(100);
    for (const room of rooms)
      expect(modules.filter(({ path }) => path.startsWith(`${room}/`)).length).toBeGreaterThan(5);
    const kinds = new Set(modules.flatMap(({ imports }) => imports.map(({ kind }) => kind)));
    expect([...kinds].sort()).toEqual(['lazy', 'static', 'type']);
    expect(modules.flatMap(({ imports }) => imports).filter(({ target }) => target).length).toBeGreaterThan(
      200,
    );
  });

  it('import only what the import table allows', () => {
    expect(importViolations(modules)).toEqual([]);
  });

  it('have no import cycles', () => {
    expect(importCycles(modules)).toEqual([]);
  });
});

/** Modules that stand in a planted tree beside the one under test, so that imports of them resolve. */
const neighbours = [
  'firmware-protocol/index.ts',
  'firmware-protocol/line.ts',
  'analysis/index.ts',
  'analysis/calibration/index.ts',
  'daq/index.ts',
  'daq/ports/open-port.ts',
  'daq/simulated-rig/index.ts',
  'dashboard/server/api.ts',
  'dashboard/server/create-server.ts',
  'dashboard/tables/index.ts',
  'dashboard/cli/main.ts',
];

function violationsOf(path: string, text: string): string[] {
  const planted = new Map(neighbours.map((neighbour) => [neighbour, 'export {};']));
  return importViolations(sourceTree(planted.set(path, text)));
}

describe('the check of imports', () => {
  it.each([
    ['an import upwards', 'analysis/fit.ts', "import { link } from '../daq/index.js';"],
    ['a lazy import upwards', 'daq/link.ts', "const cli = await import('../dashboard/cli/main.js');"],
    ['a required module', 'daq/link.ts', "const cli = require('../dashboard/cli/main.js');"],
    ['a resolved module', 'daq/link.ts', "require.resolve('../dashboard/cli/main.js');"],
    ['a re-export', 'analysis/fit.ts', "export * from '../daq/index.js';"],
    [
      'a type import where even types may not cross',
      'analysis/fit.ts',
      "import type { A } from '../daq/index.js';",
    ],
    ['a type written in place', 'analysis/fit.ts', "let a: import('../daq/index.js').A;"],
    ['a worker elsewhere', 'analysis/fit.ts', "new Worker(new URL('../daq/index.js', import.meta.url));"],
    ['a fit in the acquisition', 'daq/link.ts', "import { f } from '../analysis/index.js';"],
    ['a computed import', 'daq/link.ts', 'await import(name);'],
    ['a package that is not in the table', 'daq/link.ts', "import lodash from 'lodash';"],
    ['a subpath of such a package', 'analysis/fit.ts', "import { a } from '@stdlib/stats/base';"],
    ['Node in the analysis', 'analysis/fit.ts', "import { readFileSync } from 'node:fs';"],
    [
      'types of Node in the protocol',
      'firmware-protocol/line.ts',
      "import type { Buffer } from 'node:buffer';",
    ],
    ['Node without its prefix', 'daq/link.ts', "import { join } from 'path';"],
    [
      'a fit that knows the played rig',
      'analysis/fit.ts',
      "import { truth } from '../daq/simulated-rig/index.js';",
    ],
    [
      'an acquisition that knows the played rig',
      'daq/link.ts',
      "import { a } from './simulated-rig/index.js';",
    ],
    [
      'a played rig that knows the fit',
      'daq/simulated-rig/oil.ts',
      "import { f } from '../../analysis/index.js';",
    ],
    [
      'a way past the index',
      'dashboard/cli/record.ts',
      "import { open } from '../../daq/ports/open-port.js';",
    ],
    ['acquisition in the page', 'dashboard/web/main.tsx', "import { open } from '../../daq/index.js';"],
    [
      'a type import with a value in the page',
      'dashboard/web/a.ts',
      "import { type A } from '../../daq/index.js';",
    ],
    ['the server in the page', 'dashboard/web/main.tsx', "import { serve } from '../server/api.js';"],
    ['Node in the page', 'dashboard/web/main.tsx', "import 'node:fs';"],
    ['plots that every page waits for', 'dashboard/web/main.tsx', "import Plotly from 'plotly.js-dist-min';"],
    [
      'frames that every table waits for',
      'dashboard/tables/a.ts',
      "import { DataFrame } from 'danfojs-node';",
    ],
    ['frames outside the tables', 'dashboard/server/a.ts', "await import('danfojs-node');"],
    ['a module that is not there', 'daq/link.ts', "import { a } from './gone.js';"],
    ['a module outside the rooms', 'daq/link.ts', "import { a } from '../tests/played.js';"],
    ['a module that belongs to no zone', 'dashboard/loose.ts', 'export {};'],
  ])('refuses %s', (_, path, text) => {
    expect(violationsOf(path, text)).toHaveLength(1);
  });

  it.each([
    [
      'a fit of calibration in the acquisition',
      'daq/link.ts',
      "import { f } from '../analysis/calibration/index.js';",
    ],
    ['a type of the analysis there', 'daq/link.ts', "import type { F } from '../analysis/index.js';"],
    ['a neighbour', 'daq/link.ts', "import { open } from './ports/open-port.js';"],
    ['another room through its index', 'dashboard/cli/a.ts', "import { f } from '../../analysis/index.js';"],
    [
      'the played rig where all is put together',
      'dashboard/cli/a.ts',
      "import('../../daq/simulated-rig/index.js');",
    ],
    [
      'types of the acquisition in the page',
      'dashboard/web/a.ts',
      "import type { A } from '../../daq/index.js';",
    ],
    ['a subpath of a package', 'analysis/draw.ts', "import { a } from 'pure-rand/generator/mersenne';"],
    ['a style', 'dashboard/web/main.tsx', "import './main.css';"],
    [
      'frames when they are used',
      'dashboard/tables/a.ts',
      "const { DataFrame } = await import('danfojs-node');",
    ],
    [
      'what only looks like an import',
      'daq/link.ts',
      "// import 'lodash';\nconst text = \"require('lodash')\";",
    ],
  ])('allows %s', (_, path, text) => {
    expect(violationsOf(path, text)).toEqual([]);
  });

  it('says where, what and why', () => {
    expect(violationsOf('daq/link.ts', "\nimport { f } from '../analysis/index.js';")).toEqual([
      'daq/link.ts:2: imports ../analysis/index.js: of analysis, daq sees types and calibration/index.ts only',
    ]);
  });

  it('finds rings of any length, lazy and type imports included', () => {
    const ring = sourceTree(
      new Map([
        ['analysis/a.ts', "import './b.js';"],
        ['analysis/b.ts', "export const load = () => import('./c.js');"],
        ['analysis/c.ts', "import type { A } from './a.js';"],
        ['analysis/d.ts', "import './a.js';"],
      ]),
    );
    expect(importCycles(ring)).toEqual(['analysis/a.ts -> analysis/b.ts -> analysis/c.ts -> analysis/a.ts']);
    expect(importCycles(sourceTree(new Map([['analysis/a.ts', "import './a.js';"]])))).toHaveLength(1);
  });

  it('knows the innermost zone of a module', () => {
    expect(zoneOf('daq/simulated-rig/oil.ts')).toBe('daq/simulated-rig');
    expect(zoneOf('daq/simulated-rig.ts')).toBe('daq');
    expect(zoneOf('elsewhere/a.ts')).toBeNull();
  });
});
