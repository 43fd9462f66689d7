import { z } from 'zod';
import { estimate } from './published-shapes.js';

const verdict = z.enum(['within', 'outside', 'undecided']);
const judged = z.looseObject({
  velocity_m_per_s: z.number(),
  target_N: z.number(),
  deviation_N: estimate,
  deviation_percent: estimate,
  allowed_N: z.number(),
  verdict,
  extrapolated: z.boolean(),
});
const sentences = z.array(z.string().regex(/^[A-Z'].*\.$/)).min(1);
const oil = z.looseObject({
  label: z.string(),
  viscosity_cSt: z.number(),
  uncertainty_percent: z.number(),
  density_kg_per_m3: z.number(),
  family: z.enum(['silicone', 'mineral']),
  basis: z.enum(['printed', 'measured', 'blended']),
});
const shelfOil = oil.extend({
  viscosityOverWanted: estimate.nullable(),
  verdict: verdict.nullable(),
  worst: judged.nullable(),
  extrapolated: z.boolean(),
});
const curve = z.array(
  z.looseObject({
    velocity_m_per_s: z.number(),
    force_N: z.number(),
    low95_N: z.number(),
    high95_N: z.number(),
  }),
);
const side = z.enum(['compression', 'rebound']);

/** What `match`, `plan-oil` and `plan-holes` promise other programs; further keys may stand beside these. */
export const matchShape = z.looseObject({
  verdict,
  worst: judged,
  speeds: z.array(judged).min(1),
  unmeasured: z.array(z.looseObject({ direction: side, from_m_per_s: z.number(), to_m_per_s: z.number() })),
  kind: z.enum(['damping', 'total']),
  remounts: z.int(),
  temperature_degC: z.number().nullable(),
  temperatureAssumed: z.boolean(),
  extrapolated: z.boolean(),
  sentences,
});

const oilAdvice = z.enum([
  'keep-oil',
  'shelf-oil',
  'blend',
  'drill',
  'thicker-oil-needed',
  'present-oil-unknown',
  'shelf-empty',
]);

export const oilPlanShape = z.looseObject({
  viscosityRatio: estimate,
  restores: z.enum(['damping', 'total']),
  advice: oilAdvice,
  present: oil.nullable(),
  wantedViscosity_cSt: estimate.nullable(),
  shelf: z.array(shelfOil),
  blend: shelfOil.extend({ thin: z.string(), thick: z.string(), thickShare: z.number() }).nullable(),
  total: z
    .looseObject({
      dragLost_N: z.number(),
      speeds: z.array(z.looseObject({ velocity_m_per_s: z.number(), restored: z.boolean() })),
      notRestoredBelow_m_per_s: z.looseObject({ compression: z.number(), rebound: z.number() }),
    })
    .nullable(),
  extrapolated: z.boolean(),
  temperatureAssumed: z.boolean(),
  leftOut: z.array(side),
  sentences,
});

export const holePlanShape = z.looseObject({
  hole_mm: estimate,
  advice: z.enum(['keep-holes', 'drill', 'no-drill-between', 'holes-too-large']),
  drills: z.array(
    z.looseObject({
      name: z.string(),
      diameter_mm: z.number(),
      set: z.enum(['number', 'metric']).nullable(),
      owned: z.boolean(),
      role: z.enum(['first', 'next']),
      curve,
      verdict: verdict.nullable(),
      bringsBack: z
        .looseObject({ viscosityRatio: estimate, advice: oilAdvice, oil: oil.nullable() })
        .nullable(),
    }),
  ),
  ideal: z.looseObject({ curve, aboveCeiling: z.boolean() }),
  blank: z.looseObject({ viscosity_cSt: estimate, gap_mm: estimate }),
  extrapolated: z.boolean(),
  beyond: z.array(z.enum(['speed', 'hole-size', 'laminar-flow', 'ceiling'])),
  temperatureAssumed: z.boolean(),
  leftOut: z.array(side),
  sentences,
  caution: z.string(),
});
