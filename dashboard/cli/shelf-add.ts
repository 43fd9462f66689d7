import { toNewtonPerMetre, viscosityRatio } from '../../analysis/index.js';
import {
  openLogbook,
  readPiston,
  type ShelfItem,
  type ShelfKind,
  type ShelfParts,
  shelfPart,
} from '../../daq/index.js';
import { measuredBuild, oilsOf } from '../answers/index.js';
import { analyzeAll } from './analyze-all.js';
import { badInput } from './failure.js';
import { shelfFrom } from './read-shelf.js';

/** What `shelf add` may say about an item. */
export interface ShelfAddOptions {
  readonly cst?: number;
  readonly at?: string[];
  readonly mineral?: boolean;
  readonly density?: number;
  readonly against?: string;
  readonly ratio?: number;
  readonly error?: number;
  readonly have?: string[];
  readonly with?: string[];
  readonly file?: string;
  readonly rate?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

type Oil = ShelfParts['oil'];

/** Which options describe which kind; any other beside them is a mistake. */
const optionsOf: Readonly<Record<ShelfKind, readonly (keyof ShelfAddOptions)[]>> = {
  oil: ['cst', 'at', 'mineral', 'density', 'against', 'ratio', 'error', 'have', 'with'],
  piston: ['file'],
  seal: [],
  spring: ['rate'],
  drill: [],
};

/** Puts an item on the shelf of the logbook; nothing is written unless it makes sense. */
export async function addToShelf(
  kind: ShelfKind,
  name: string,
  options: ShelfAddOptions,
): Promise<ShelfItem> {
  const described = Object.values(optionsOf).flat();
  const strange = described.find((key) => options[key] !== undefined && !optionsOf[kind].includes(key));
  if (strange) throw badInput(`--${strange} for a ${kind}`, `options of a ${kind}; see shelf add --help`);
  if (name.trim() === '') throw badInput('an empty name', 'a name');
  const part = await shelfPart(kind, await partOf(kind, name.trim(), options));
  const logbook = openLogbook(options.logbook);
  try {
    return logbook.putOnShelf(kind, part);
  } finally {
    logbook.close();
  }
}

async function partOf(
  kind: ShelfKind,
  name: string,
  options: ShelfAddOptions,
): Promise<ShelfParts[ShelfKind]> {
  switch (kind) {
    case 'oil':
      return oilPart(name, options);
    case 'piston': {
      if (options.file === undefined)
        throw badInput('a piston without --file', 'a JSON file that describes it');
      return { ...(await readPiston(options.file)), name };
    }
    case 'seal':
      return { name };
    case 'spring':
      return { name, rate_N_per_mm: springRate_N_per_mm(options.rate) };
    case 'drill':
      return { name: drillName(name), drill_mm: diameter_mm(name) };
  }
}

async function oilPart(name: string, options: ShelfAddOptions): Promise<Oil> {
  const { cst, mineral, density, against } = options;
  const viscosities = options.at?.map(viscosityAt);
  const measured = against === undefined ? undefined : await measuredAgainst(against, options);
  const alone = ['have', 'with', 'ratio', 'error'].find(
    (key) => options[key as keyof ShelfAddOptions] !== undefined,
  );
  if (!measured && alone)
    throw badInput(`--${alone} without --against`, 'the oil that it was measured against');
  const entry: Oil = {
    name,
    ...(cst !== undefined && { oil_cSt: cst }),
    ...(mineral && { family: 'mineral' }),
    ...(viscosities && { viscosities }),
    ...(density !== undefined && { oil_density_kg_per_m3: density }),
    ...(measured && { measured }),
  };
  const { parts } = await shelfFrom(undefined, options.logbook);
  const others = parts.oils.filter((oil) => oil.name !== name);
  if (cst === undefined && !viscosities && !measured)
    throw badInput(
      `oil '${name}' without a viscosity`,
      '--cst as printed: a weight is a label, and makers differ',
    );
  const made = oilsOf([...others, entry]);
  if (!made.ok) throw badInput(made.refusal.found, made.refusal.wanted);
  return entry;
}

/** The ratio as typed, or from recordings of one piston in both oils. */
async function measuredAgainst(
  against: string,
  { ratio, error, have, with: other, logbook }: ShelfAddOptions,
): Promise<NonNullable<Oil['measured']>> {
  if (ratio !== undefined) {
    if (error === undefined) throw badInput('--ratio without --error', 'its standard uncertainty beside it');
    return { against, ratio, standardError: error };
  }
  if (!have || !other)
    throw badInput('--against alone', 'recordings in both oils (--have and --with), or --ratio and --error');
  const [first, second] = await analyzeAll([have, other], logbook);
  const builds = [first!, second!].map((analyses, side) => {
    const outcome = measuredBuild(analyses);
    if (!outcome.ok)
      throw badInput(outcome.refusal.found, outcome.refusal.wanted, [have, other][side]!.join(' '));
    return outcome.build;
  });
  const outcome = viscosityRatio(builds[0]!.damping, builds[1]!.damping);
  if (!outcome.ok) throw badInput(outcome.refusal.found, outcome.refusal.wanted, other.join(' '));
  const { value, standardError } = outcome.found.ratio;
  return { against, ratio: value, standardError };
}

/** "1.55 mm", however it was typed. */
export const drillName = (text: string): string => `${diameter_mm(text)} mm`;

function diameter_mm(text: string): number {
  const value = Number(text.replace(/\s*mm$/, '').replace(',', '.'));
  if (!(value > 0 && value < 20)) throw badInput(`drill ${text}`, 'a diameter in mm, such as 1.55');
  return value;
}

function viscosityAt(text: string): { cSt: number; degC: number } {
  const [, cSt, degC] = /^(\d+(?:[.,]\d+)?)@(-?\d+(?:[.,]\d+)?)$/.exec(text) ?? [];
  if (cSt === undefined || degC === undefined) throw badInput(`--at ${text}`, 'cSt@degC, such as 32@40');
  return { cSt: Number(cSt.replace(',', '.')), degC: Number(degC.replace(',', '.')) };
}

function springRate_N_per_mm(text: string | undefined): number {
  const [, rate, unit] = /^(\d+(?:[.,]\d+)?)\s*(N\/mm|lbf\/in|gf\/mm)$/.exec(text ?? '') ?? [];
  if (rate === undefined || unit === undefined)
    throw badInput(
      text === undefined ? 'a spring without --rate' : `--rate ${text}`,
      'a rate with its unit, such as 0.21N/mm, 1.2lbf/in or 21gf/mm',
    );
  return toNewtonPerMetre(Number(rate.replace(',', '.')), unit as 'N/mm') / 1e3;
}
