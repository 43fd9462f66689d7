import type { Properties } from './properties.js';

/** What a build is made of, in the order people name it, with the properties that describe each part. */
export const BUILD_PARTS = {
  seal: ['seal'],
  lubricant: ['lubricant'],
  oil: ['oil', 'oil_cSt'],
  piston: ['piston'],
  holes: ['holes', 'hole_mm'],
  cap: ['cap'],
  bleed: ['bleed'],
  spacer: ['spacer_mm'],
  stop: ['stop'],
  spring: ['spring', 'spring_rate_N_per_mm'],
} as const satisfies Readonly<Record<string, readonly string[]>>;

export type BuildPart = keyof typeof BUILD_PARTS;
const BUILD_PART_NAMES = Object.keys(BUILD_PARTS) as BuildPart[];

/** What is known of one part of a build, and whence. */
export interface FittedPart {
  readonly part: BuildPart;
  readonly properties: Properties;
  /** It came with the parent build; false where this build's own notes say it. */
  readonly inherited: boolean;
}

/** A part that is not what the parent build has. */
export interface PartChange {
  readonly part: BuildPart;
  /** Null where nobody said what was in before. */
  readonly from: Properties | null;
  readonly to: Properties;
}

/**
 * The parts of a build: its own, and those of its parent that it says nothing about. Properties of one part go together
 * (an oil's viscosity is not inherited without its name), and another piston does not have the old one's holes.
 * @param own what the build itself says
 * @param parent the parent's parts; empty for a first build
 */
export function partsOfBuild(own: Properties, parent: readonly FittedPart[]): FittedPart[] {
  return BUILD_PART_NAMES.flatMap((part): FittedPart[] => {
    const properties = pick(own, BUILD_PARTS[part]);
    if (properties) return [{ part, properties, inherited: false }];
    if (part === 'holes' && own.piston !== undefined) return [];
    const before = parent.find((other) => other.part === part);
    return before ? [{ ...before, inherited: true }] : [];
  });
}

/** What differs from the parent's parts, in the order of the parts. */
export function partChanges(parts: readonly FittedPart[], parent: readonly FittedPart[]): PartChange[] {
  return parts
    .filter(({ inherited }) => !inherited)
    .map(({ part, properties }) => ({
      part,
      from: parent.find((other) => other.part === part)?.properties ?? null,
      to: properties,
    }))
    .filter(({ from, to }) => JSON.stringify(from) !== JSON.stringify(to));
}

/** All properties of the parts together, with what else the build says of itself. */
export function wholeProperties(own: Properties, parts: readonly FittedPart[]): Properties {
  return Object.assign({}, own, ...parts.map(({ properties }) => properties)) as Properties;
}

function pick(own: Properties, keys: readonly string[]): Properties | null {
  const found = keys.flatMap((key) => (own[key] === undefined ? [] : [[key, own[key]] as const]));
  return found.length > 0 ? Object.fromEntries(found) : null;
}
