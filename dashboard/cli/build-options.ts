import type { Command } from 'commander';
import type { Build, BuildId, Logbook, Properties } from '../../daq/index.js';
import { badInput } from './failure.js';
import { positiveNumber } from './number-options.js';

/** What the command line says about the build on the rig. */
export interface BuildOptions {
  readonly build: string;
  readonly shock?: string;
  readonly parent?: string;
  readonly change?: string;
  readonly seal?: string;
  readonly lubricant?: string;
  readonly oil?: string;
  readonly oilCst?: number;
  readonly piston?: string;
  readonly cap?: string;
  readonly note?: string;
}

/** Options that describe a build when it is new; its name is the command's own option. */
export function addBuildOptions(command: Command): Command {
  return command
    .option('--shock <name>', "for a new build: the shock's label (otherwise the parent's, or the only one)")
    .option('--parent <build>', 'for a new build: the build it was made from')
    .option('--change <text>', 'for a new build: what separates it from its parent ("seal swapped")')
    .option('--seal <text>', 'for a new build: seal')
    .option('--lubricant <text>', 'for a new build: lubricant on the seal')
    .option('--oil <text>', 'for a new build: oil, as the bottle says')
    .option(
      '--oil-cst <number>',
      'for a new build: viscosity of the oil at 25 °C',
      positiveNumber('--oil-cst'),
    )
    .option('--piston <text>', 'for a new build: piston and holes')
    .option('--cap <text>', 'for a new build: cap: bladder, vented, emulsion')
    .option('--note <text>', 'for a new build: anything else');
}

/** What `planBuild` decided; nothing is written before `enterBuild`. */
export type BuildPlan =
  | { readonly kind: 'existing'; readonly build: Build }
  | {
      readonly kind: 'new';
      readonly options: BuildOptions;
      readonly shock: string;
      readonly parentBuildId: BuildId | null;
    };

/**
 * Decides which build is meant, refusing what does not fit before anything is written.
 * @param logbook null where there is none yet
 * @throws CommandFailure where an existing build is described anew, or a new one's shock or parent is unclear
 */
export function planBuild(logbook: Logbook | null, options: BuildOptions): BuildPlan {
  const existing = logbook?.findBuild(options.build);
  if (existing) {
    const contradicted = contradiction(existing, options);
    if (contradicted)
      throw badInput(
        `build '${existing.name}' is in the logbook already, with another ${contradicted}`,
        `a new name for a new build, or no --${contradicted}`,
      );
    return { kind: 'existing', build: existing };
  }
  const parent = options.parent === undefined ? null : logbook?.findBuild(options.parent);
  if (parent === undefined)
    throw badInput(`--parent ${options.parent}`, 'the name of a build in the logbook');
  return {
    kind: 'new',
    options,
    shock: options.shock ?? parent?.shockName ?? onlyShock(logbook),
    parentBuildId: parent?.id ?? null,
  };
}

/** The first option that says something else about a build than the logbook does. */
function contradiction(build: Build, options: BuildOptions): string | undefined {
  const { shock, parent, change } = options;
  const said = Object.entries({ shock, parent, change, ...propertiesOf(options) });
  const known: Readonly<Record<string, unknown>> = {
    ...build.properties,
    shock: build.shockName,
    parent: build.parentName,
    change: build.change,
  };
  const different = said.find(([key, value]) => value !== undefined && value !== known[key]);
  return different?.[0].replace('oil_cSt', 'oil-cst');
}

function onlyShock(logbook: Logbook | null): string {
  const [only, ...more] = logbook?.listShocks() ?? [];
  if (more.length > 0)
    throw badInput('a new build without --shock', `--shock and a label; the logbook has several`);
  return only?.name ?? 'shock 1';
}

/** Enters a planned build, with its shock when that is new too. */
export function enterBuild(logbook: Logbook, plan: BuildPlan): Build {
  if (plan.kind === 'existing') return plan.build;
  const { options, shock, parentBuildId } = plan;
  const { id: shockId } = logbook.findShock(shock) ?? logbook.createShock({ name: shock });
  return logbook.createBuild({
    shockId,
    name: options.build,
    parentBuildId,
    change: options.change ?? '',
    properties: propertiesOf(options),
  });
}

function propertiesOf({ seal, lubricant, oil, oilCst, piston, cap, note }: BuildOptions): Properties {
  const all = { seal, lubricant, oil, oil_cSt: oilCst, piston, cap, note };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as Properties;
}
