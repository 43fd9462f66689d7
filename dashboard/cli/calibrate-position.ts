import {
  crankFrom,
  guideCrank,
  guideLengths,
  knownReadings,
  lengthsFrom,
  readCrankCsv,
  readKnownValuesCsv,
  usualLengthUncertainty_m,
} from '../../daq/index.js';
import { crankCautions, crankSentence, formatNumber, lengthSentence } from '../wording/index.js';
import { type EntryOptions, enterAndTell, rigOfReadings } from './calibration-entry.js';
import { badInput } from './failure.js';
import { leadAtRig, type RigOptions } from './lead-at-rig.js';
import { guided } from './operator.js';

interface LengthOptions extends EntryOptions, RigOptions {
  readonly lengths?: readonly number[];
  readonly readings?: string;
  readonly runs?: number;
  readonly lengthUncertainty?: number;
}

interface AngleOptions extends EntryOptions, RigOptions {
  readonly radius: number;
  readonly rod: number;
  readonly countsPerTurn: number;
  readonly positions?: number;
  readonly readings?: string;
}

type LengthPart = ReturnType<typeof lengthsFrom>;
type CrankPart = ReturnType<typeof crankFrom>;

export async function calibratePositionAtRig(options: LengthOptions): Promise<void> {
  const lengthUncertainty_m =
    options.lengthUncertainty === undefined ? usualLengthUncertainty_m : options.lengthUncertainty / 1000;
  const file = options.readings === undefined ? null : await readKnownValuesCsv(options.readings, ['length']);
  if (file?.readings_counts) {
    const rigName = await rigOfReadings(options);
    const readings = knownReadings(file, (length_m) => length_m);
    return tellLengths(options, rigName, lengthsFrom(readings, { lengthUncertainty_m }));
  }
  const lengths_m =
    options.lengths?.map((length) => length / 1000) ?? (file && [...file.values].filter(Boolean));
  if (!lengths_m) throw badInput('nothing to set', '--lengths 5,10,15,20 in mm, or --readings FILE');
  await leadAtRig(options, 'bare-slide', async ({ link, played, rigName, signal }) => {
    const plan = { lengths_m, runs: options.runs ?? 2, lengthUncertainty_m };
    const found = await guided(played, crankCautions, signal, (operator) =>
      guideLengths(link, plan, operator, signal),
    );
    await tellLengths(options, rigName, found);
  });
}

export async function calibrateAngleAtRig(options: AngleOptions): Promise<void> {
  const plan = {
    radius_m: options.radius / 1000,
    rod_m: options.rod / 1000,
    counts_per_revolution: options.countsPerTurn,
  };
  if (options.readings !== undefined) {
    const { counts, position_m } = await readCrankCsv(options.readings);
    return tellCrank(options, await rigOfReadings(options), crankFrom(counts, position_m, plan));
  }
  await leadAtRig(options, 'bare-slide', async ({ link, played, rigName, signal }) => {
    const found = await guided(played, crankCautions, signal, (operator) =>
      guideCrank(link, { ...plan, positions: options.positions ?? 9 }, operator, signal),
    );
    await tellCrank(options, rigName, found);
  });
}

async function tellLengths(options: LengthOptions, rigName: string, found: LengthPart): Promise<void> {
  const { calibration } = found.evidence;
  const { standardUncertainty, backlash_m } = calibration;
  await enterAndTell(options, rigName, found, {
    sentence: lengthSentence(calibration),
    rows: [
      {
        quantity: 'Scatter of a single position',
        value: formatNumber(1000 * standardUncertainty, 2),
        unit: 'mm',
      },
      {
        quantity: 'Play between in and out',
        value: backlash_m === null ? 'not measured' : formatNumber(1000 * backlash_m, 2),
        unit: backlash_m === null ? '' : 'mm',
      },
    ],
  });
}

async function tellCrank(options: AngleOptions, rigName: string, found: CrankPart): Promise<void> {
  await enterAndTell(options, rigName, found, {
    sentence: crankSentence(found.evidence.calibration),
    rows: [],
  });
}
