const time = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
});

/** "25 Nov, 09:14" in the time of the place. */
export function shortTime(iso: string): string {
  return time.format(new Date(iso));
}

/** Whole seconds, as "0:24". */
export function clockTime(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}
