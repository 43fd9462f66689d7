import * as z from 'zod';
import { above, textOf } from './file-fields.js';
import { pistonShape } from './piston-file.js';

const name = textOf('a name');

export const shelfShape = z.object(
  {
    oils: z
      .array(
        z.object({
          name,
          oil_cSt: above(0, 'the viscosity of the oil at 25 °C, as printed on its bottle'),
          oil_density_kg_per_m3: above(0, 'the density of the oil').optional(),
        }),
        { error: 'a list of oils' },
      )
      .default([]),
    pistons: z.array(pistonShape, { error: 'a list of pistons' }).default([]),
    drills_mm: z.array(above(0, 'the diameter of a drill'), { error: 'a list of diameters' }).default([]),
    seals: z.array(z.object({ name }), { error: 'a list of seals' }).default([]),
    springs: z
      .array(z.object({ name, rate_N_per_mm: above(0, 'the rate of the spring') }), {
        error: 'a list of springs',
      })
      .default([]),
  },
  { error: 'an object with any of oils, pistons, drills_mm, seals, springs' },
);

/** What the owner has to build with. */
export type Shelf = z.infer<typeof shelfShape>;
