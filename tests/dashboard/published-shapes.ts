import { z } from 'zod';

/** The machine-readable output as it is promised to other programs; further keys may stand beside these. */
export const estimate = z
  .looseObject({ value: z.number(), standardError: z.number(), low95: z.number(), high95: z.number() })
  .refine((e) => e.low95 <= e.value && e.value <= e.high95, 'an interval holds its value');
const orNull = estimate.nullable();
const direction = z.looseObject({ linear_Ns_per_m: orNull, quadratic_Ns2_per_m2: orNull });

export const findingCode = z.enum([
  'air-in-oil',
  'compression-ceiling',
  'end-contact',
  'stick-slip',
  'binding',
  'play-in-mounts',
  'force-saturated',
  'samples-missing',
  'too-few-cycles',
  'too-slow-sampling',
  'crank-locked-to-sampling',
  'lag-unresolved',
  'kernel-chosen',
  'loop-energy-mismatch',
  'sign-reversed',
  'warming',
  'unchecked-lines',
]);

export const analysisShape = z.looseObject({
  file: z.string(),
  samples: z.int(),
  cycles: z.int(),
  procedure: z.enum([
    'speed-ladder',
    'slow-sweep',
    'travel-sweep',
    'spring-pull',
    'lag-check',
    'warm-up',
    'unknown',
  ]),
  friction: z.looseObject({
    mean_N: estimate,
    compression_N: orNull,
    rebound_N: orNull,
    breakaway_N: orNull,
  }),
  damping: z.looseObject({
    compression: direction,
    rebound: direction,
    curve: z.array(
      z.looseObject({
        velocity_m_per_s: z.number(),
        force_N: z.number(),
        low95_N: z.number(),
        high95_N: z.number(),
      }),
    ),
  }),
  gas: z.looseObject({ offset_N: orNull, rate_N_per_mm: orNull }),
  rig: z.looseObject({
    lag_ms: orNull,
    kernel: z.enum(['none', 'one-conversion', 'sinc3', 'sinc4']),
    movingMass_kg: orNull,
  }),
  temperature_degC: z.number().nullable(),
  residual_N: z.number(),
  notIdentified: z.array(z.string()),
  findings: z.array(
    z.looseObject({
      code: findingCode,
      severity: z.enum(['note', 'warning']),
      message: z.string().regex(/^[^\n]+\.$/),
    }),
  ),
});

export const failureShape = z.strictObject({ file: z.string(), error: z.string() });

export const comparisonShape = z.looseObject({
  differences: z
    .array(
      z.looseObject({
        quantity: z.string(),
        before: estimate,
        after: estimate,
        difference: estimate,
        verdict: z.enum(['lower', 'higher', 'not-resolved']),
        resolvable: z.number(),
      }),
    )
    .min(1),
});
