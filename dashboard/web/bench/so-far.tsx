import type { FollowedQuantity, LiveEstimate } from '../../answers/index.js';
import type { AskedSeries } from '../../server/api.js';
import { followedName, followedWords, liveSentence, neededText } from '../../wording/index.js';
import { estimates } from '../live.js';
import { units } from '../units.js';
import { knownOf, narrowingPicture, sharpnessOf } from './narrowing.js';
import { decisive, neededOf } from './sitting.js';

const followed: readonly FollowedQuantity[] = [
  'friction_N',
  'damping.compression@0.10',
  'damping.rebound@0.10',
];

/** What is known while it records: a sentence on whether that is enough, and how each interval has narrowed. */
export function SoFar(props: {
  readonly recordingId: number | null;
  readonly asked: AskedSeries | null;
  readonly elapsed_s: number;
  readonly duration_s: number | null;
}) {
  const { recordingId, asked, elapsed_s, duration_s } = props;
  const own = estimates.value.filter((estimate) => estimate.recordingId === recordingId);
  const latest = own.at(-1) ?? null;
  const decides = decisive(asked);
  const needed = neededFor(own, decides, asked);
  const sharpness = sharpnessOf(own, decides, needed);
  const sentence = liveSentence(
    latest,
    decides,
    needed,
    sharpness,
    leftOut(elapsed_s, duration_s),
    units.value,
  );
  return (
    <section class="so-far">
      <h2 class="sentence">{sentence}</h2>
      <p class="unseen" role="status">
        {sharpness === 'sharp' ? sentence : ''}
      </p>
      <ul>
        {followed.map((quantity) => (
          <Followed
            key={quantity}
            quantity={quantity}
            own={own}
            latest={latest}
            end_s={Math.max(duration_s ?? 30, elapsed_s)}
            needed={neededFor(own, quantity, asked)}
          />
        ))}
      </ul>
      <p class="note">
        Hatched: not known yet. Dashed: as narrow as the question needs, about the newest value. The samples
        of the last second are not in it yet.
      </p>
    </section>
  );
}

function Followed(props: {
  readonly quantity: FollowedQuantity;
  readonly own: readonly LiveEstimate[];
  readonly latest: LiveEstimate | null;
  readonly end_s: number;
  readonly needed: number | null;
}) {
  const { quantity, own, latest, end_s, needed } = props;
  const now = latest?.quantities.find((entry) => entry.quantity === quantity);
  const words = latest && now ? followedWords(now, latest, units.value) : 'not known yet';
  return (
    <li>
      <p>
        <span class="name">{followedName(quantity, units.value)}</span>{' '}
        <span class={now?.estimate ? 'number known' : 'note'}>{words}</span>
      </p>
      <Narrowing
        own={own}
        quantity={quantity}
        end_s={end_s}
        needed={needed}
        label={`${followedName(quantity, units.value)}: ${words}${needed === null ? '' : `; needed ${neededText(needed, units.value)}`}`}
      />
    </li>
  );
}

const WIDTH = 600;
const HEIGHT = 100;

/** An interval over the time that was recorded: hatched while unknown, then a band that narrows between what is needed. */
function Narrowing(props: {
  readonly own: readonly LiveEstimate[];
  readonly quantity: FollowedQuantity;
  readonly end_s: number;
  readonly needed: number | null;
  readonly label: string;
}) {
  const { own, quantity, end_s, needed, label } = props;
  const known = knownOf(own, quantity);
  const reached = Math.min(1, (own.at(-1)?.until_s ?? 0) / end_s);
  const picture = narrowingPicture(known, end_s, needed);
  const points = (corners: typeof picture.band) =>
    corners.map(([x, y]) => `${(x * WIDTH).toFixed(1)},${(y * HEIGHT).toFixed(1)}`).join(' ');
  const unknown = WIDTH * Math.min(picture.unknownUntil, reached);
  return (
    <svg
      class="narrowing"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={label}
    >
      <line class="middle" x1="0" x2={WIDTH} y1={HEIGHT / 2} y2={HEIGHT / 2} />
      {hatching(unknown).map((x) => (
        <line key={x} class="unknown" x1={x} x2={Math.min(unknown, x + 14)} y1={HEIGHT - 20} y2="20" />
      ))}
      {picture.needed?.map((y) => (
        <line key={y} class="needed" x1="0" x2={WIDTH} y1={y * HEIGHT} y2={y * HEIGHT} />
      ))}
      {known.length > 0 && (
        <>
          <polygon class="band" points={points(picture.band)} />
          <polyline class="value" points={points(picture.line)} />
        </>
      )}
    </svg>
  );
}

const hatching = (until: number): number[] =>
  Array.from({ length: Math.max(0, Math.floor((until - 4) / 18)) }, (_, i) => 2 + 18 * i);

/** What the question needs of a quantity as it is known now. */
function neededFor(
  own: readonly LiveEstimate[],
  quantity: FollowedQuantity,
  asked: AskedSeries | null,
): number | null {
  const value = knownOf(own, quantity).at(-1)?.estimate.value;
  return value === undefined ? null : neededOf(asked, quantity, value);
}

/** A procedure that is stopped has not been to its faster speeds. */
function leftOut(elapsed_s: number, duration_s: number | null): string | null {
  return duration_s !== null && duration_s - elapsed_s > 1
    ? 'the rest of the procedure adds damping at higher speeds'
    : null;
}
