import { capture, defaultSpeedLadder, type Procedure, speedLadder } from '../../daq/index.js';
import type { ApiProcedure, ProcedureChoiceId } from './api.js';

interface ProcedureChoice extends Omit<ApiProcedure, 'id'> {
  readonly procedure: Procedure;
}

const upAndDown = speedLadder([...defaultSpeedLadder.steps, ...defaultSpeedLadder.steps.toReversed()]);

/** What can be recorded from the page. */
export const procedureChoices: Readonly<Record<ProcedureChoiceId, ProcedureChoice>> = {
  'speed-ladder': {
    title: 'Speed ladder, driven',
    about: 'The drive runs the crank at six speeds for 24 s in all, slow to fast, and stops by itself.',
    needsDrive: true,
    procedure: defaultSpeedLadder,
  },
  'long-ladder': {
    title: 'Long speed ladder, driven',
    about:
      'The same speeds up and down again, 48 s in all: for a shock whose cycles differ, or that warms on the way.',
    needsDrive: true,
    procedure: upAndDown,
  },
  'by-hand': {
    title: 'Moved by hand or by its own drive',
    about:
      'Records until you stop it. Turn the crank evenly, a few whole turns at each of five or six speeds, from very slow to fast.',
    needsDrive: false,
    procedure: capture('speed-ladder', null),
  },
};
