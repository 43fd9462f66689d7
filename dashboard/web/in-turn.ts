type Job = () => void;

/** Jobs that wait until their element is in view, or until the page has nothing else to do. */
const waiting = new Map<Element, Job>();
const inView = new WeakMap<Element, boolean>();

const watch = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting } of entries) {
    const wasKnown = inView.has(target);
    inView.set(target, isIntersecting);
    if (isIntersecting) run(target);
    else if (!wasKnown && waiting.has(target)) whenIdle(target);
  }
});

// Paper shows everything.
let isPrinting = false;
addEventListener('beforeprint', () => {
  isPrinting = true;
  for (const element of [...waiting.keys()]) run(element);
});
addEventListener('afterprint', () => {
  isPrinting = false;
});

/** Watches whether an element is in view, so that `inTurn` knows. */
export function watchView(element: Element): () => void {
  watch.observe(element);
  return () => {
    watch.unobserve(element);
    inView.delete(element);
  };
}

/**
 * Does a job for a watched element: at once where it is in view, else as soon as it comes into view or the page has time,
 * one job at a time. Another job for the same element takes the place of one that waits.
 * @returns calls it off
 */
export function inTurn(element: Element, job: Job): () => void {
  const isInView = inView.get(element);
  waiting.set(element, job);
  if (isInView || isPrinting) run(element);
  else if (isInView === false) whenIdle(element);
  return () => {
    if (waiting.get(element) === job) waiting.delete(element);
  };
}

/** Brings up to date what waits around an element, for those who need it now; done when the page shows it. */
export async function catchUp(element: Element): Promise<void> {
  for (const around of [...waiting.keys()]) if (around.contains(element)) run(around);
  await new Promise((shown) => setTimeout(shown));
}

function run(element: Element): void {
  const job = waiting.get(element);
  waiting.delete(element);
  job?.();
}

function whenIdle(element: Element): void {
  // Not every browser has it.
  if ('requestIdleCallback' in window) requestIdleCallback(() => run(element), { timeout: MOST_MS });
  else setTimeout(() => run(element), LATER_MS);
}

const MOST_MS = 2000;
const LATER_MS = 100;
