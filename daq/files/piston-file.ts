import * as z from 'zod';
import { above, textOf } from './file-fields.js';

const countOfHoles = { error: 'a whole number of holes' };

export const pistonShape = z
  .object(
    {
      name: textOf('a name').optional(),
      bore_mm: above(0, 'the inner diameter of the body'),
      rod_mm: above(0, 'the diameter of the shaft'),
      holes: z.int(countOfHoles).min(1, countOfHoles),
      hole_mm: above(0, 'the diameter of a hole'),
      thickness_mm: above(0, 'the length of a hole through the piston'),
      /** Holes of other sizes. */
      more_holes: z
        .array(
          z.object({ holes: z.int(countOfHoles).min(1, countOfHoles), hole_mm: above(0, 'their diameter') }),
          { error: 'a list of holes with hole_mm' },
        )
        .optional(),
      gap_mm: above(0, 'the radial clearance between piston and body').optional(),
      countersunk_mm: z
        .number({ error: 'the depth of countersinks, both faces added' })
        .nonnegative({ error: 'the depth of countersinks, not negative' })
        .optional(),
      oil_cSt: above(0, 'the viscosity of the oil at 25 °C, as printed on its bottle').optional(),
      oil_density_kg_per_m3: above(0, 'the density of the oil').optional(),
    },
    { error: 'an object with bore_mm, rod_mm, holes, hole_mm, thickness_mm' },
  )
  .refine(({ rod_mm, bore_mm }) => rod_mm < bore_mm, {
    error: 'a shaft thinner than the bore',
    path: ['rod_mm'],
  })
  .refine(({ hole_mm, bore_mm, holes }) => holes * hole_mm ** 2 < bore_mm ** 2, {
    error: 'holes that have room in the bore',
    path: ['hole_mm'],
  });

/** A piston in its body, with the oil around it where that is known. */
export type Piston = z.infer<typeof pistonShape>;
