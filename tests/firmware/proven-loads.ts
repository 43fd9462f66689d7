/** What a program is asked to send. */
export interface Load {
  readonly program: string;
  readonly baud: number;
  readonly force_Hz: number;
  readonly position_Hz: number;
}

/** The highest rates that the README promises, each with the program that proves it. */
export const provenLoads: readonly Load[] = [
  { program: 'slide-115200', baud: 115_200, force_Hz: 80, position_Hz: 300 },
  { program: 'slide', baud: 250_000, force_Hz: 80, position_Hz: 700 },
  { program: 'slide-320', baud: 250_000, force_Hz: 320, position_Hz: 400 },
  { program: 'slide-500000', baud: 500_000, force_Hz: 80, position_Hz: 1000 },
  { program: 'angle-1000', baud: 500_000, force_Hz: 1000, position_Hz: 400 },
];
