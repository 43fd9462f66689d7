import { useEffect, useState } from 'preact/hooks';

const SHOW_AFTER_MS = 200;

/** Says what is being done, once it has taken long enough to be noticed; with how far, where that is known. */
export function Waiting(props: { readonly doing: string; readonly done?: number; readonly of?: number }) {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setShown(true), SHOW_AFTER_MS);
    return () => clearTimeout(timer);
  }, []);
  const far = props.of !== undefined && props.of > 1 ? `: ${props.done ?? 0} of ${props.of} done` : '';
  return (
    <p class="waiting" role="status">
      {shown ? `${props.doing}${far} …` : ''}
    </p>
  );
}
