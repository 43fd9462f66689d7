import { builtinModules } from 'node:module';
import { type Import, type SourceModule, UNREADABLE } from './source-tree.js';

/** A room, or a part of one that has rules of its own. A module belongs to the longest one that begins its path. */
export interface Zone {
  /** Zones it may import, by name; `type` where only types may cross, a door where values may cross there alone. */
  readonly zones: Readonly<Record<string, 'any' | 'type' | { readonly values: string }>>;
  /** Packages it may import; `lazy` where only `import()` (or a type) may. */
  readonly packages: Readonly<Record<string, 'any' | 'lazy' | 'type'>>;
  /** Whether it may use Node's own modules. */
  readonly node: boolean;
  /** Modules that other rooms, or other parts of the dashboard, may import. */
  readonly doors: readonly string[];
}

const acquisitionPackages = {
  serialport: 'any',
  '@serialport/parser-readline': 'any',
  'better-sqlite3': 'any',
  'csv-parse': 'any',
  'csv-stringify': 'any',
  zod: 'any',
  pino: 'any',
} as const;

/** The import table of the architecture. */
export const importTable: Readonly<Record<string, Zone>> = {
  'firmware-protocol': { zones: {}, packages: {}, node: false, doors: ['index.ts'] },
  analysis: {
    zones: {},
    packages: { 'pure-rand': 'any', 'fft.js': 'any' },
    node: false,
    doors: ['index.ts', 'numerics/index.ts', 'calibration/index.ts'],
  },
  daq: {
    // Of the fits, those of calibration: how counts become N and m.
    zones: { 'firmware-protocol': 'any', analysis: { values: 'calibration/index.ts' } },
    packages: acquisitionPackages,
    node: true,
    doors: ['index.ts'],
  },
  /** A rig that happens to be software: no fit may know it, and it knows no fit. */
  'daq/simulated-rig': {
    zones: { 'firmware-protocol': 'any', daq: 'any' },
    packages: { ...acquisitionPackages, 'pure-rand': 'any' },
    node: true,
    doors: ['index.ts'],
  },
  'dashboard/answers': { zones: { analysis: 'any' }, packages: {}, node: false, doors: ['index.ts'] },
  'dashboard/wording': {
    zones: { analysis: 'any', 'dashboard/answers': 'type' },
    packages: {},
    node: false,
    doors: ['index.ts'],
  },
  'dashboard/report': {
    zones: { analysis: 'any', 'dashboard/answers': 'type', 'dashboard/wording': 'any' },
    packages: {},
    node: false,
    doors: ['index.ts'],
  },
  'dashboard/tables': {
    zones: { analysis: 'any' },
    packages: { 'danfojs-node': 'lazy', 'csv-stringify': 'any' },
    node: false,
    doors: ['index.ts'],
  },
  'dashboard/tables/stand-ins': { zones: {}, packages: {}, node: false, doors: [] },
  'dashboard/workers': {
    zones: {
      analysis: 'any',
      daq: 'any',
      'firmware-protocol': 'any',
      'dashboard/answers': 'any',
      'dashboard/tables': 'any',
      'dashboard/server': 'type',
    },
    packages: {},
    node: true,
    doors: ['analysis-thread.ts', 'answer-thread.ts', 'answer-work.ts', 'next-step.ts'],
  },
  'dashboard/server': {
    zones: {
      analysis: 'any',
      daq: 'any',
      'daq/simulated-rig': 'any',
      'firmware-protocol': 'any',
      'dashboard/answers': 'any',
      'dashboard/wording': 'any',
      'dashboard/tables': 'any',
      'dashboard/workers': 'any',
    },
    packages: {
      fastify: 'any',
      '@fastify/static': 'any',
      '@fastify/helmet': 'any',
      serialport: 'any',
      zod: 'any',
      pino: 'any',
    },
    node: true,
    doors: ['index.ts', 'api.ts'],
  },
  'dashboard/cli': {
    zones: {
      analysis: 'any',
      daq: 'any',
      'daq/simulated-rig': 'any',
      'firmware-protocol': 'any',
      'dashboard/answers': 'any',
      'dashboard/wording': 'any',
      'dashboard/tables': 'any',
      'dashboard/workers': 'any',
      'dashboard/server': 'any',
    },
    packages: { commander: 'any', open: 'any', serialport: 'any', zod: 'any', pino: 'any' },
    node: true,
    doors: [],
  },
  'dashboard/web': {
    zones: {
      analysis: 'any',
      'dashboard/answers': 'any',
      'dashboard/report': 'any',
      'dashboard/wording': 'any',
      'dashboard/server': 'type',
      daq: 'type',
      'firmware-protocol': 'type',
    },
    packages: { preact: 'any', '@preact/signals': 'any', 'plotly.js-dist-min': 'lazy' },
    node: false,
    doors: [],
  },
};

/** Build settings beside the sources; tools read them, the program never does. */
const settings = new Map([
  ['dashboard/web/vite.config.ts', ['vite', 'node:fs', 'node:path', 'node:zlib']],
  [
    'dashboard/server/openapi/answer-schemas.mjs',
    ['typescript', 'node:fs', 'node:path', 'node:url', './schema-of-type.mjs'],
  ],
  ['dashboard/server/openapi/schema-of-type.mjs', ['typescript']],
  ['dashboard/server/openapi/write.mjs', ['node:fs', 'node:os', 'node:path', '../../../dist/', UNREADABLE]],
]);

/** The zone a module belongs to, or null. */
export function zoneOf(path: string): string | null {
  const names = Object.keys(importTable).filter((name) => path.startsWith(`${name}/`));
  return names.sort((a, b) => b.length - a.length)[0] ?? null;
}

/**
 * Holds every import of a tree against the import table.
 * @returns a line per violation: the module, the line, what it imports, why it may not
 */
export function importViolations(modules: readonly SourceModule[]): string[] {
  return modules.flatMap((module) => {
    const zone = zoneOf(module.path);
    if (zone === null) return [`${module.path}: belongs to no room of the import table`];
    return module.imports.flatMap((found) => {
      const reason = settings.has(module.path)
        ? settings.get(module.path)!.includes(found.specifier)
          ? null
          : 'build settings import build tools only'
        : refusal(zone, found);
      return reason === null ? [] : [`${module.path}:${found.line}: imports ${found.specifier}: ${reason}`];
    });
  });
}

function refusal(zoneName: string, found: Import): string | null {
  const zone = importTable[zoneName]!;
  if (found.specifier === UNREADABLE) return 'an import must name its module';
  if (found.target !== null) return refusalOfModule(zoneName, zone, found, found.target);
  if (found.specifier.startsWith('.'))
    return /\.[jt]sx?$/.test(found.specifier) ? 'there is no such module in the rooms' : null;
  if (found.specifier.startsWith('node:')) return zone.node ? null : `${zoneName} uses nothing of Node`;
  const name = packageOf(found.specifier);
  if (builtinModules.includes(name)) return 'modules of Node are written with node:';
  const allowed = zone.packages[name];
  if (allowed === undefined) return `${zoneName} may not import this package`;
  if (allowed === 'lazy' && found.kind === 'static') return 'only import() may load it, when it is used';
  if (allowed === 'type' && found.kind !== 'type') return 'only its types may be imported';
  return null;
}

function refusalOfModule(zoneName: string, zone: Zone, found: Import, target: string): string | null {
  const other = zoneOf(target);
  if (other === zoneName) return null;
  if (other === null) return 'it is in no room';
  const allowed = zone.zones[other];
  if (allowed === undefined) return `${zoneName} may not import ${other}`;
  if (allowed === 'type' && found.kind !== 'type') return `of ${other}, ${zoneName} sees types only`;
  if (zoneName.startsWith(`${other}/`)) return null;
  const inside = target.slice(other.length + 1);
  if (typeof allowed === 'object' && found.kind !== 'type' && inside !== allowed.values)
    return `of ${other}, ${zoneName} sees types and ${allowed.values} only`;
  return importTable[other]!.doors.includes(inside) ? null : `${other} is entered through its index`;
}

function packageOf(specifier: string): string {
  return specifier.split('/', specifier.startsWith('@') ? 2 : 1).join('/');
}

/** Rings of modules that import each other, each as `a -> b -> a`. */
export function importCycles(modules: readonly SourceModule[]): string[] {
  const targets = new Map(
    modules.map(({ path, imports }) => [path, imports.flatMap(({ target }) => (target ? [target] : []))]),
  );
  const cycles: string[] = [];
  const done = new Set<string>();
  const trail: string[] = [];
  const follow = (path: string): void => {
    const start = trail.indexOf(path);
    if (start >= 0) cycles.push([...trail.slice(start), path].join(' -> '));
    if (start >= 0 || done.has(path)) return;
    trail.push(path);
    for (const target of targets.get(path) ?? []) follow(target);
    trail.pop();
    done.add(path);
  };
  for (const path of targets.keys()) follow(path);
  return cycles;
}
