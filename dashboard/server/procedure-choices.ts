import {
  capture,
  defaultSlowSweep,
  defaultSpeedLadder,
  isDriven,
  type Procedure,
  speedLadder,
} from '../../daq/index.js';
import { springCaution, sweepCaution } from '../wording/index.js';
import type { ApiProcedure, ProcedureChoiceId } from './api.js';

interface ProcedureChoice extends Pick<ApiProcedure, 'title' | 'about'> {
  readonly procedure: Procedure;
  readonly practiceOnly?: true;
}

const upAndDown = speedLadder([...defaultSpeedLadder.steps, ...defaultSpeedLadder.steps.toReversed()]);

/** A crank's two slow turns, for springs and stops on the practice rig. */
const slowTurns = (name: Procedure['name']): Procedure => ({
  name,
  steps: [{ speed_rev_per_s: 0.06, duration_s: 36 }],
  duration_s: null,
});

/** What can be recorded from the page; of one procedure the usual way first. */
const procedureChoices: Readonly<Record<ProcedureChoiceId, ProcedureChoice>> = {
  'speed-ladder': {
    title: 'Speed ladder, driven',
    about: 'The drive runs the crank at six speeds for 24 s in all, slow to fast, and stops by itself.',
    procedure: defaultSpeedLadder,
  },
  'long-ladder': {
    title: 'Long speed ladder, driven',
    about:
      'The same speeds up and down again, 48 s in all: for a shock whose cycles differ, or that warms on the way.',
    procedure: upAndDown,
  },
  'by-hand': {
    title: 'Moved by hand or by its own drive',
    about:
      'Records until you stop it. Turn the crank evenly, a few whole turns at each of five or six speeds, from very slow to fast.',
    procedure: capture('speed-ladder', null),
  },
  'slow-sweep': {
    title: 'Slow sweep, driven',
    about:
      'The drive runs the crank slowly for two minutes and stands in between, for 1, 3, 10 and 30 s. While it stands it is not over: it starts again by itself.',
    procedure: defaultSlowSweep,
  },
  'slow-sweep-by-hand': {
    title: 'Slow sweep, moved by hand or by its own drive',
    about:
      'Records until you stop it. Move it through its whole travel and back, evenly: a few times briskly, then slowly; then slowly with rests at one end, of 1, 3, 10 and 30 s.',
    procedure: capture('slow-sweep', null),
  },
  'spring-pull-by-hand': {
    title: 'Spring pull, by hand',
    about: `Records until you stop it. Move the spring slowly, there and back, two or three times, well short of coil bind: past its rating the cell reads wrongly ever after. ${springCaution}`,
    procedure: capture('spring-pull', null),
  },
  'spring-pull': {
    title: 'Spring pull, driven',
    about: 'The drive moves the spring slowly there and back, twice in 36 s.',
    procedure: slowTurns('spring-pull'),
    practiceOnly: true,
  },
  'travel-sweep-by-hand': {
    title: 'Travel sweep, by hand',
    about: `Records until you stop it. Move the shock slowly from stop to stop, two or three times, and lean on no stop. ${sweepCaution}`,
    procedure: capture('travel-sweep', null),
  },
  'travel-sweep': {
    title: 'Travel sweep, played',
    about: 'The simulated shock is moved slowly into its stop, twice in 36 s. On a rig this is done by hand.',
    procedure: slowTurns('travel-sweep'),
    practiceOnly: true,
  },
};

export const procedureIds = Object.keys(procedureChoices) as ProcedureChoiceId[];

export const procedureOf = (id: ProcedureChoiceId): Procedure => procedureChoices[id].procedure;

/** The same as the page is told of them. */
export const apiProcedures: readonly ApiProcedure[] = procedureIds.map((id) => {
  const { title, about, procedure, practiceOnly = false } = procedureChoices[id];
  return { id, title, about, name: procedure.name, needsDrive: isDriven(procedure), practiceOnly };
});
