import { makeOil, type Oil } from '../../analysis/index.js';
import { openLogbook, type Properties, type RecordingId } from '../../daq/index.js';
import { badInput } from './failure.js';
import { parseArgument } from './source.js';

export interface OilOptions {
  readonly oil?: string;
  readonly oilCst?: number;
}

/**
 * The oil that two options name, or that the builds of the recordings say is in them.
 * @param names of the two options, for messages
 * @param have FILE arguments whose builds are asked when the options say nothing; none are asked for []
 * @returns null where nobody says
 */
export function namedOil(
  { oil, oilCst }: OilOptions,
  names: { readonly label: string; readonly viscosity: string },
  shelf: readonly Oil[],
  have: readonly string[],
  logbook: string,
): Oil | null {
  if (oilCst !== undefined) return bottle(oil ?? `${oilCst} cSt`, oilCst);
  if (oil !== undefined) {
    const found = shelf.find(({ label }) => label === oil);
    if (found) return found;
    const labels = shelf.map(({ label }) => `'${label}'`).join(', ');
    throw badInput(
      `${names.label} ${oil}`,
      `${labels ? `an oil of the shelf (${labels})` : 'an oil of the shelf, which is empty'}, or ${names.viscosity} beside it`,
    );
  }
  const said = have.map((text) => propertiesOf(text, logbook)).find((properties) => properties?.oil_cSt);
  if (!said) return null;
  const label = String(said.oil ?? `${said.oil_cSt} cSt`);
  return shelf.find((one) => one.label === label) ?? bottle(label, Number(said.oil_cSt));
}

function bottle(label: string, cSt: number): Oil {
  const made = makeOil({ label, printed: [{ viscosity_m2_per_s: cSt * 1e-6, temperature_degC: 25 }] });
  if (!made.ok) throw badInput(made.refusal.found, made.refusal.wanted);
  return made.oil;
}

/** What the logbook says about the build of an argument; null for a file. */
function propertiesOf(text: string, logbookPath: string): Properties | null {
  const argument = parseArgument(text);
  if (argument.kind === 'file') return null;
  const logbook = openLogbook(logbookPath, { readOnly: true });
  try {
    const name =
      argument.kind === 'build'
        ? argument.name
        : logbook.findRecording(argument.id as RecordingId)?.buildName;
    return (name !== undefined && logbook.findBuild(name)?.wholeProperties) || null;
  } finally {
    logbook.close();
  }
}
