/** Said before the first drive command of a sitting. The software is no safety device and says so. */
export const cautions = [
  'Fit a hard-wired stop that cuts the drive’s power, and keep it within reach. This software is not a safety device and can fail.',
  'Turn the crank through a whole stroke by hand first: the shock must reach neither end, and nothing may touch.',
  'Keep fingers, hair, sleeves and cables away from the crank. It starts by itself when a procedure begins.',
  'Wear eye protection. A mount can let go, and oil leaves a shock under pressure.',
] as const;

export function Cautions(props: { readonly isRead: boolean; readonly onRead: (isRead: boolean) => void }) {
  return (
    <fieldset class="cautions">
      <legend>Before the drive moves</legend>
      <ul>
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <label class="check">
        <input
          type="checkbox"
          checked={props.isRead}
          onChange={(event) => props.onRead(event.currentTarget.checked)}
        />
        <span>I have read this, and the stop is within reach. (Asked once a sitting.)</span>
      </label>
    </fieldset>
  );
}
