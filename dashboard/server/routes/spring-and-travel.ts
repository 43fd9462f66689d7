import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import type { Logbook, Recording, RecordingId } from '../../../daq/index.js';
import type { AnalysisCache } from '../analysis-cache.js';
import { type AnswerSources, given } from '../answers.js';
import type { SpringBody, TravelBody } from '../api.js';
import { requestError } from '../errors.js';
import { idInText, numberInText } from '../validation.js';
import { rateUnit } from './typed-rate.js';

const spring_mm = (low: number, high: number) => numberInText(low, high, 'mm').optional();
const mass_g = numberInText(1, 1e5, 'g').optional();

const springQuery = z
  .object({
    pull: idInText,
    bare: idInText.optional(),
    label: numberInText(1e-3, 1e6, '').optional(),
    rate_unit: rateUnit,
    wire_mm: spring_mm(0.1, 20),
    coil_mm: spring_mm(1, 200),
    coils: numberInText(1, 100, '').optional(),
    mass_before_g: mass_g,
    mass_after_g: mass_g,
  })
  .superRefine((query, context) => {
    for (const group of [
      ['wire_mm', 'coil_mm', 'coils'],
      ['mass_before_g', 'mass_after_g'],
    ] as const)
      if (group.some((name) => query[name] !== undefined))
        for (const name of group.filter((each) => query[each] === undefined))
          context.addIssue({ code: 'custom', path: [name], message: `this beside ${others(group, name)}` });
  });

const length_mm = numberInText(0, 500, 'mm').optional();
const travelQuery = z
  .object({
    sweep: idInText,
    standing_mm: length_mm,
    under_piston_mm: length_mm,
    outside_mm: length_mm,
    inside_mm: length_mm,
    piston_mm: length_mm,
    nut_mm: length_mm,
  })
  .superRefine(({ standing_mm, under_piston_mm, outside_mm, inside_mm, piston_mm, nut_mm }, context) => {
    const refuse = (name: string, message: string) =>
      context.addIssue({ code: 'custom', path: [name], message });
    const isInside = [inside_mm, piston_mm, nut_mm].some((length) => length !== undefined);
    if (outside_mm !== undefined && standing_mm === undefined)
      refuse('standing_mm', 'where the vehicle stands, beside its spacers');
    if (under_piston_mm !== undefined && standing_mm === undefined && !isInside)
      refuse('standing_mm', 'where the vehicle stands, beside its spacers');
    if (isInside && inside_mm === undefined) refuse('inside_mm', 'the length inside the body');
    if (isInside && piston_mm === undefined) refuse('piston_mm', 'the thickness of the piston');
  });

/** Slow strokes: what a spring's pull and a travel sweep tell. Reads only. */
export function springAndTravelRoutes(
  server: FastifyInstance,
  { logbook, cache, answers }: AnswerSources,
): void {
  server.get(
    '/api/spring',
    { schema: { querystring: springQuery } },
    async (request): Promise<SpringBody> => {
      const { pull, bare, label, rate_unit, ...typed } = request.query as z.output<typeof springQuery>;
      const sides = {
        pull: readFrom(logbook, cache, pull, 'query.pull'),
        bare: bare === undefined ? nothingRead : readFrom(logbook, cache, bare, 'query.bare'),
      };
      const asked = {
        ...(label !== undefined && { label: { printed: label, unit: rate_unit } }),
        ...wireOf(typed),
        ...massOf(typed),
        shelf: logbook
          .readShelf()
          .springs.map(({ name, rate_N_per_mm }) => ({ label: name, rate_N_per_m: 1e3 * rate_N_per_mm })),
      };
      const answer = given(await answers.of('spring', sides, asked, request.signal));
      return { recordingId: pull, ...answer };
    },
  );

  server.get(
    '/api/travel',
    { schema: { querystring: travelQuery } },
    async (request): Promise<TravelBody> => {
      const { sweep, ...typed } = request.query as z.output<typeof travelQuery>;
      const sides = { sweep: readFrom(logbook, cache, sweep, 'query.sweep') };
      const answer = given(await answers.of('travel', sides, travelled(typed), request.signal));
      return { recordingId: sweep, ...answer };
    },
  );
}

/** A side that is no analysis: the recording itself, which the answering thread reads. */
export function readFrom(logbook: Logbook, cache: AnalysisCache, id: number, where: string) {
  const recording = completeRecording(logbook, id, where);
  return { keys: [cache.keyOf(recording)], analyses: id };
}

export const nothingRead = { keys: [], analyses: null } as const;

function completeRecording(logbook: Logbook, id: number, where: string): Recording {
  const recording = logbook.findRecording(id as RecordingId);
  if (recording?.state === 'complete') return recording;
  throw requestError(404, {
    code: 'no-such-recording',
    found: recording ? `recording ${id}, which is ${recording.state}` : `no recording ${id}`,
    wanted: 'a recording that ran to its end',
    where,
  });
}

type TypedSpring = Pick<
  z.output<typeof springQuery>,
  'wire_mm' | 'coil_mm' | 'coils' | 'mass_before_g' | 'mass_after_g'
>;

/** Shear modulus of spring steel, Pa; common handbook figure, as for the command line. */
const springSteel_Pa = 79.3e9;

const wireOf = ({ wire_mm, coil_mm, coils }: TypedSpring) =>
  wire_mm === undefined
    ? {}
    : {
        wire: {
          wire_m: wire_mm / 1e3,
          coil_m: coil_mm! / 1e3,
          activeCoils: coils!,
          shearModulus_Pa: springSteel_Pa,
        },
      };

const massOf = ({ mass_before_g, mass_after_g }: TypedSpring) =>
  mass_before_g === undefined
    ? {}
    : { mass: { before_kg: mass_before_g / 1e3, after_kg: mass_after_g! / 1e3 } };

function travelled({
  standing_mm,
  under_piston_mm = 0,
  outside_mm = 0,
  inside_mm,
  piston_mm = 0,
  nut_mm = 0,
}: Omit<z.output<typeof travelQuery>, 'sweep'>) {
  const underPiston_m = under_piston_mm / 1e3;
  return {
    ...(standing_mm !== undefined && {
      spacers: { standing_m: standing_mm / 1e3, underPiston_m, outside_m: outside_mm / 1e3 },
    }),
    ...(inside_mm !== undefined && {
      inside: {
        inside_m: inside_mm / 1e3,
        pistonThickness_m: piston_mm / 1e3,
        nut_m: nut_mm / 1e3,
        underPiston_m,
      },
    }),
  };
}

const words: Readonly<Record<string, string>> = {
  wire_mm: 'the diameter of the wire',
  coil_mm: 'the mean diameter of the coils',
  coils: 'the number of coils that work',
  mass_before_g: 'the mass before',
  mass_after_g: 'the mass to come',
};
const others = (group: readonly string[], name: string): string =>
  group
    .filter((other) => other !== name)
    .map((other) => words[other])
    .join(' and ');
