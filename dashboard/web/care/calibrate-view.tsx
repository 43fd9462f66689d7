import type { ApiFoundPart, CareRig } from '../../server/api.js';
import { careWords, withoutReadingsSentence } from '../../wording/index.js';
import { address, type CalibratedPart, calibratedParts } from '../address.js';
import { PlaceLink } from '../pieces/place-link.js';
import { shortTime } from '../pieces/times.js';
import { evidenceOf } from './evidence.js';
import { Shown, sentenceOf } from './found-part.js';
import { Procedure } from './procedure.js';

/** What a rig's counts mean: one part at a time, with the readings it was found from. */
export function CalibrateView({ rig }: { readonly rig: CareRig | null }) {
  const { part } = address.value;
  const found = rig?.parts.find((candidate) => isOf(part, candidate)) ?? null;
  const evidence = found && evidenceOf(found);
  const [inForce] = rig?.calibrations ?? [];
  const unseen = (inForce && withoutReadingsSentence(part, inForce)) ?? careWords[part].unknown;
  return (
    <>
      <nav aria-label="Parts of a calibration" class="parts-of-calibration">
        <ul>
          {calibratedParts.map((name) => (
            <li key={name}>
              <PlaceLink to={{ part: name }} current={name === part}>
                {careWords[name].title}
              </PlaceLink>
            </li>
          ))}
        </ul>
      </nav>
      <h1>{found ? sentenceOf(found, evidence) : unseen}</h1>
      {evidence && <Shown evidence={evidence} />}
      {found && (
        <p class="note">
          Found {shortTime(found.createdAt)}
          {found.note && `: ${found.note}`}.
        </p>
      )}
      <Procedure what={part} rig={rig} />
    </>
  );
}

function isOf(part: CalibratedPart, { part: name, value }: ApiFoundPart): boolean {
  if (part === 'mass') return name === 'movingMass';
  if (part === 'angle') return name === 'position' && 'crank' in value;
  return name === part && !('crank' in value);
}
