import { comparedQuantities, type Measured, type RecordingAnalysis } from '../../analysis/index.js';

/** Damping of all remounts is brought to one temperature, or the oil's would pass for the mounting's. */
const kept_degC = 25;

/** What of a recording is kept, so that its rig learns how remounts spread. */
export const keptResults = (analysis: RecordingAnalysis): (Measured & { readonly quantity: string })[] =>
  comparedQuantities.flatMap(({ name, of }) => {
    const measured = of(analysis, kept_degC);
    return measured ? [{ quantity: name, value: measured.value, standardError: measured.standardError }] : [];
  });
