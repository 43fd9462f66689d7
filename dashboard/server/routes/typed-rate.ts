import * as z from 'zod';
import type { SpringRateUnit } from '../../../analysis/index.js';
import { numberInText } from '../validation.js';

/** Units that springs are sold by; all rates of a query are in the same one. */
export const rateUnits = ['N/mm', 'lbf/in', 'gf/mm'] as const satisfies readonly SpringRateUnit[];

export const rateUnit = z.enum(rateUnits, `one of ${rateUnits.join(', ')}`).default('N/mm');

/** Wide enough for every unit. */
export const rateInText = numberInText(1e-3, 1e5, '').optional();
