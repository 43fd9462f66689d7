import type { ComparedDifference } from '../answers/index.js';
import {
  amountText,
  builtSentence,
  calibrationSentence,
  conditionsText,
  count,
  dateText,
  differenceRows,
  differenceSentence,
  displayScale,
  formatDecimals,
  inOrderOfInterest,
  lastCheckSentence,
  nextStepSentences,
  overlayName,
  overlayNote,
  sentenceCase,
  verdictReason,
} from '../wording/index.js';
import type { ReportBuild, ReportFacts, ReportLook } from './facts.js';
import { html, type Markup } from './markup.js';
import { reportPicture, sample } from './picture.js';
import { reportStyle } from './style.js';

const verdictShapes: Readonly<Record<ComparedDifference['verdict'], string>> = {
  lower: '▼ lower',
  higher: '▲ higher',
  'not-resolved': '= not resolved',
};

/** The sheet with its own style, for a page that shows it. */
export const reportBody = (facts: ReportFacts): string =>
  html`<style>${{ markup: reportStyle }}</style>${sheet(facts)}`.markup;

/** The finding in one sentence. */
export function headlineOf(facts: ReportFacts): string {
  const { answer, builds, units } = facts;
  if (answer) return findings(facts)[0]!;
  const names = builds.map(({ name }) => name).join(', ');
  const drag_N = builds.length === 1 ? builds[0]!.drag_N : null;
  return drag_N ? `${names} drags ${amountText(drag_N, 'force', units)}.` : `${sentenceCase(names)}.`;
}

export function sheet(facts: ReportFacts): Markup {
  const { builds, kind, at_degC } = facts;
  return html`<article class="report">
<h1>${headlineOf(facts)}</h1>
${findings(facts)
  .slice(1)
  .map((sentence) => html`<p class="lead">${sentence}</p>`)}
<figure>
<figcaption>${overlayName(kind)} against velocity. ${overlayNote(kind, at_degC)}</figcaption>
${reportPicture(facts)}
</figure>
${differences(facts)}
${nextSteps(facts)}
${buildsTable(facts)}
${warnings(builds)}
${rig(facts)}
<footer><p>Made ${dateText(facts.madeAt)} with dashpot-bench ${facts.version}, method version ${facts.methodVersion}. ± is half the 95 % interval, remount to remount; what would show is the true difference that these remounts show four times in five.${simulatedNote(builds)}</p></footer>
</article>`;
}

/** The most to the point of each comparison. */
function findings({ answer, units }: ReportFacts): string[] {
  return (answer?.comparisons ?? []).map((comparison) => {
    const [lead] = inOrderOfInterest(comparison.differences);
    const names = { before: answer!.reference, after: comparison.name };
    return lead
      ? differenceSentence(lead, { names, units, remounts: comparison.remounts })
      : `${sentenceCase(comparison.name)} and ${answer!.reference} have nothing in common that could be compared.`;
  });
}

function differences({ answer, builds, units }: ReportFacts): readonly Markup[] {
  return (answer?.comparisons ?? []).map((comparison, k) => {
    const rows = differenceRows(comparison, units);
    const [first] = rows;
    const oneUnit = first && rows.every(({ unit }) => unit === first.unit) ? first.unit : null;
    return html`<h2>${mark(builds[k + 1]!.look)}${comparison.name} against ${mark(builds[0]!.look)}${answer!.reference}</h2>
<table>
<thead><tr><th scope="col">Quantity${oneUnit !== null && `, ${oneUnit}`}</th><th scope="col" class="number">${answer!.reference}</th><th scope="col" class="number">${comparison.name}</th><th scope="col" class="number">Difference</th><th scope="col">Verdict</th><th scope="col">Its interval</th></tr></thead>
<tbody>
${rows.map(
  (row, i) =>
    html`<tr><th scope="row">${row.label}${oneUnit === null && `, ${row.unit}`}</th><td class="number" data-label="${answer!.reference}">${row.before}</td><td class="number" data-label="${comparison.name}">${row.after}</td><td class="number" data-label="Difference">${row.difference}</td><td class="verdict">${verdictShapes[comparison.differences[i]!.verdict]}</td><td>${verdictReason(comparison.differences[i]!, units)}</td></tr>
`,
)}</tbody>
</table>`;
  });
}

function nextSteps({ answer, builds, units }: ReportFacts): Markup | null {
  const simulated = builds.some(({ recordings }) => recordings.some((recording) => recording.simulated));
  const sentences = answer ? nextStepSentences(answer, simulated, units) : [];
  return sentences.length === 0
    ? null
    : html`<h2>What to do next</h2><ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`;
}

function buildsTable({ builds, units }: ReportFacts): Markup {
  const { unit } = displayScale('force', units);
  const force = (estimate: ReportBuild['drag_N']) =>
    amountText(estimate, 'force', units).replace(` ${unit}`, '');
  return html`<h2>The builds</h2>
<table class="builds">
<thead><tr><th scope="col">Build</th><th scope="col">What it is</th><th scope="col">Measured</th><th scope="col" class="number">Drag, ${unit}</th><th scope="col" class="number">Breakaway, ${unit}</th></tr></thead>
<tbody>
${builds.map(
  (build) =>
    html`<tr><th scope="row">${mark(build.look)}${build.name}</th><td>${builtSentence(build)}</td><td>${conditionsText(build.recordings)}</td><td class="number" data-label="Drag, ${unit}">${force(build.drag_N)}</td><td class="number" data-label="Breakaway, ${unit}">${force(build.breakaway_N)}</td></tr>
`,
)}</tbody>
</table>`;
}

function warnings(builds: readonly ReportBuild[]): Markup | null {
  const said = builds.flatMap(({ name, warnings }) => warnings.map((text) => `${name}: ${text}`));
  return said.length === 0
    ? null
    : html`<h2>To be looked at</h2><ul>${said.map((text) => html`<li>${text}</li>`)}</ul>`;
}

function rig({ rigs, answer }: ReportFacts): Markup {
  const at = answer?.temperature_degC;
  return html`<h2>How it was measured</h2>
<ul>
${rigs.map((state) => html`<li>${calibrationSentence(state)} ${lastCheckSentence(state)}</li>`)}
${rigs.length === 0 && html`<li>From imported files: nothing is known of the rig.</li>`}
${typeof at === 'number' && html`<li>The damping forces of the table are brought to an oil temperature of ${formatDecimals(at, 1)} °C.</li>`}
${at === null && html`<li>A recording has no oil temperature, so that equal ones are taken for granted; 1 K changes viscosity by about 2 %.</li>`}
</ul>`;
}

function simulatedNote(builds: readonly ReportBuild[]): string {
  const recordings = builds.flatMap((build) => build.recordings);
  const simulated = recordings.filter((recording) => recording.simulated).length;
  if (simulated === 0) return '';
  return simulated === recordings.length
    ? ' All recordings were made by the simulated rig: no shock was measured.'
    : ` ${sentenceCase(count(simulated, 'recording'))} of ${recordings.length} came from the simulated rig.`;
}

const mark = (look: ReportLook): Markup =>
  html`<svg class="sample" width="32" height="14" viewBox="0 0 32 14" aria-hidden="true">${sample(look)}</svg>`;
