import * as z from 'zod';
import { above, textOf } from './file-fields.js';
import { pistonShape } from './piston-file.js';

const name = textOf('a name');

/** An oil by what its bottle says; a mineral oil needs two viscosities, since no one line holds for all of them. */
const oilShape = z
  .object({
    name,
    oil_cSt: above(0, 'the viscosity of the oil at 25 °C, as printed on its bottle').optional(),
    family: z.enum(['silicone', 'mineral'], { error: 'silicone or mineral' }).optional(),
    viscosities: z
      .array(
        z.object({
          cSt: above(0, 'a viscosity'),
          degC: z.number({ error: 'the temperature at which it holds, °C' }),
        }),
        { error: 'a list of viscosities with their temperatures' },
      )
      .optional(),
    oil_density_kg_per_m3: above(0, 'the density of the oil').optional(),
    /** Its viscosity over another oil's, found in one piston. */
    measured: z
      .object({
        against: textOf('the name of the oil it was measured against'),
        ratio: above(0, 'its viscosity over that of the other oil'),
        standardError: z
          .number({ error: 'the standard uncertainty of the ratio' })
          .nonnegative({ error: 'the standard uncertainty of the ratio, not negative' }),
      })
      .optional(),
  })
  .refine(({ oil_cSt, viscosities, measured }) => oil_cSt !== undefined || viscosities?.length || measured, {
    error: 'the viscosity of the oil: a weight is a label, and makers differ',
    path: ['oil_cSt'],
  });

const sealShape = z.object({ name });
const springShape = z.object({ name, rate_N_per_mm: above(0, 'the rate of the spring') });

/** What one item of each kind is described by. */
export const shelfPartShapes = {
  oil: oilShape,
  piston: pistonShape.and(z.object({ name })),
  seal: sealShape,
  spring: springShape,
  drill: z.object({
    name,
    drill_mm: above(0, 'the diameter of a drill in mm').lt(20, { error: 'a diameter below 20 mm' }),
  }),
};

export const shelfShape = z.object(
  {
    oils: z.array(oilShape, { error: 'a list of oils' }).default([]),
    pistons: z.array(pistonShape, { error: 'a list of pistons' }).default([]),
    drills_mm: z.array(above(0, 'the diameter of a drill'), { error: 'a list of diameters' }).default([]),
    seals: z.array(sealShape, { error: 'a list of seals' }).default([]),
    springs: z.array(springShape, { error: 'a list of springs' }).default([]),
  },
  { error: 'an object with any of oils, pistons, drills_mm, seals, springs' },
);

/** What the owner has to build with. */
export type Shelf = z.infer<typeof shelfShape>;
