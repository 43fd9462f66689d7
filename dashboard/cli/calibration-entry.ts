import { existsSync } from 'node:fs';
import type { EnteredPart, FoundPart, Logbook, RigProfile } from '../../daq/index.js';
import type { CareRow } from '../wording/index.js';
import { badInput } from './failure.js';
import { table } from './table.js';
import { say, sayNext, writeDocument } from './terminal.js';

export interface EntryOptions {
  readonly logbook: string;
  readonly rig?: string;
  readonly note?: string;
  readonly dryRun?: boolean;
  readonly json?: boolean;
}

/**
 * The rig that readings from a file belong to.
 * @throws CommandFailure where it is not clear
 */
export async function rigOfReadings({ logbook: path, rig }: EntryOptions): Promise<string> {
  if (rig !== undefined) return rig;
  const rigs = await inLogbook(path, (logbook) => logbook.listRigs());
  if (rigs?.length === 1) return rigs[0]!.name;
  throw badInput(
    rigs && rigs.length > 1 ? `${rigs.length} rigs in the logbook` : 'no rig in the logbook',
    "--rig NAME, the name that the rig's firmware gives",
  );
}

/** What the logbook knows of a rig; null where it knows nothing. */
export async function profileOf(path: string, rigName: string): Promise<RigProfile | null> {
  const profile = await inLogbook(path, (logbook) => {
    const rigId = logbook.findRig(rigName);
    return rigId === undefined ? null : (logbook.rigProfile(rigId)?.profile ?? null);
  });
  return profile ?? null;
}

async function inLogbook<T>(path: string, read: (logbook: Logbook) => T): Promise<T | null> {
  if (!existsSync(path)) return null;
  const { openLogbook } = await import('../../daq/index.js');
  const logbook = openLogbook(path);
  try {
    return read(logbook);
  } finally {
    logbook.close();
  }
}

/** Enters what was found, unless it is a dry run, and tells of it: the sentence, the numbers, what to do next. */
export async function enterAndTell(
  options: EntryOptions,
  rigName: string,
  found: FoundPart<object>,
  words: { readonly sentence: string; readonly rows: readonly CareRow[] },
): Promise<void> {
  const entered = options.dryRun ? null : await enter(options, rigName, found);
  if (options.json) {
    const { part, value } = found.part;
    const version = entered?.calibration?.version ?? null;
    const missing = entered?.missing ?? [];
    writeDocument({ rig: rigName, part, value, version, missing, evidence: found.evidence });
    return;
  }
  say(words.sentence, entrySentence(rigName, entered));
  if (words.rows.length > 0) process.stdout.write(`\n${careTable(words.rows)}\n`);
  const missing = entered?.missing[0];
  if (missing) sayNext(`dashpot-bench calibrate ${missing} --help`, `recordings need the ${missing} as well`);
  else if (entered)
    sayNext(
      'dashpot-bench analyze recording:ID --calibration latest',
      'applies it to a recording that was made before; without --calibration, each keeps the one it was made under',
    );
}

export function careTable(rows: readonly CareRow[]): string {
  return table(
    [
      { heading: 'Quantity', align: 'left', cell: (row) => row.quantity },
      { heading: 'Value (± 95 %)', align: 'right', cell: (row) => row.value },
      { heading: 'Unit', align: 'left', cell: (row) => row.unit },
    ],
    rows,
  );
}

async function enter(
  { logbook: path, note }: EntryOptions,
  rigName: string,
  { part, evidence }: FoundPart<object>,
): Promise<EnteredPart> {
  const { openLogbook } = await import('../../daq/index.js');
  const logbook = openLogbook(path);
  try {
    return logbook.addCalibrationPart(logbook.rigNamed(rigName), part, evidence, note ?? '');
  } finally {
    logbook.close();
  }
}

function entrySentence(rigName: string, entered: EnteredPart | null): string {
  if (!entered) return 'A dry run: nothing was entered.';
  return entered.calibration
    ? `Entered as calibration ${entered.calibration.version} of rig '${rigName}'; recordings made before keep theirs.`
    : `Kept for rig '${rigName}' until its ${entered.missing.join(' and ')} is calibrated as well.`;
}
