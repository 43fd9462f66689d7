import { signal } from '@preact/signals';

/** The page's colours as the stylesheet has them now, for pictures that cannot read it. */
export interface Theme {
  readonly ground: string;
  readonly ink: string;
  readonly faint: string;
  readonly rule: string;
  readonly edge: string;
  readonly fontFamily: string;
}

export const theme = signal<Theme>(readTheme());

const darkQuery = matchMedia('(prefers-color-scheme: dark)');
const screenQuery = matchMedia('screen');
/** Tells the style of paper which ink the pictures are drawn in: there is no time to draw them anew. */
const markDark = () =>
  document.documentElement.classList.toggle('drawn-dark', screenQuery.matches && darkQuery.matches);
markDark();
darkQuery.addEventListener('change', () => {
  if (!screenQuery.matches) return;
  markDark();
  theme.value = readTheme();
});

/** Whether the person asked the system for less movement. */
export const lessMotion = signal(matchMedia('(prefers-reduced-motion: reduce)').matches);

/** A phone's width: pictures leave out what the text beside them says. */
const narrowQuery = matchMedia('(max-width: 640px)');
export const narrow = signal(narrowQuery.matches);
narrowQuery.addEventListener('change', () => {
  narrow.value = narrowQuery.matches;
});

function readTheme(): Theme {
  const style = getComputedStyle(document.documentElement);
  const read = (name: string) => style.getPropertyValue(name).trim();
  return {
    ground: read('--ground'),
    ink: read('--ink'),
    faint: read('--faint'),
    rule: read('--rule'),
    edge: read('--edge'),
    fontFamily: read('--text'),
  };
}
