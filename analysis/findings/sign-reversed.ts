import type { TermName } from '../identification/columns.js';
import type { Criterion } from './evidence.js';
import { warning } from './finding.js';
import { pairWork } from './stroke-work.js';

/** Share of the whole strokes whose loop must give energy away. */
const mostStrokes = 0.8;
/** Standard errors by which gas must pull and bend the wrong way. */
const certain = 4;

/**
 * Position or force with the wrong sign. A shock takes up energy in every stroke pair; one that gives it away, by its
 * loops and by its fitted drag, has one channel turned round. Which one, the gas tells: it pushes outwards, so a force
 * that is negative on average is itself turned, a positive one leaves position. Both turned at once cost no energy and
 * show only in gas that pulls, and pulls the harder the further out; a cell zeroed under load can hide that, so it is
 * said only where both are certain.
 */
export const signReversed: Criterion = ({ samples, motion, identification, analysis }) => {
  const pairs_J = pairWork(samples, motion);
  const giving = pairs_J.filter((work_J) => work_J < 0).length;
  const drag = analysis.friction.mean_N;
  if (drag && drag.high95 < 0 && giving > mostStrokes * pairs_J.length) {
    let sum_N = 0;
    for (const force of samples.force_N) sum_N += force;
    return warning('sign-reversed', { channel: sum_N < 0 ? 'force' : 'position' });
  }
  const { terms } = identification.problem;
  const { coefficients } = identification.fit;
  const { matrix, size } = identification.covariance;
  const inErrors = (term: TermName) => {
    const at = terms.indexOf(term);
    return at < 0 ? 0 : coefficients[at] / Math.sqrt(matrix[at * size + at]);
  };
  const pulls = inErrors('offset') < -certain && inErrors('gas2') < -certain && inErrors('gas1') > 0;
  return pulls ? warning('sign-reversed', { channel: 'force and position' }) : null;
};
