import { describe, expect, it } from 'vitest';
import { identityOf } from '../../dashboard/web/identity/identity.js';
import { contrast, LEAST_CONTRAST, okabeIto, paletteOn } from '../../dashboard/web/identity/palette.js';

const light = { ink: '#1c1e20', ground: '#fbfaf6' };
const dark = { ink: '#e9e6de', ground: '#17191b' };

describe('contrast', () => {
  it('is 21 for black on white and 1 for a colour on itself', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 12);
    expect(contrast('#D55E00', '#D55E00')).toBe(1);
  });

  it('of the published set on white is too small for orange and sky blue', () => {
    // 2.25 and 2.31, by the WCAG definition.
    expect(contrast('#E69F00', '#ffffff')).toBeCloseTo(2.25, 2);
    expect(contrast('#56B4E9', '#ffffff')).toBeCloseTo(2.31, 2);
  });
});

describe('the palette', () => {
  it.each([light, dark])('stands out from the ground $ground', ({ ground }) => {
    for (const colour of paletteOn(ground))
      expect(contrast(colour, ground)).toBeGreaterThanOrEqual(LEAST_CONTRAST);
  });

  it('leaves a colour as published where it already stands out', () => {
    expect(paletteOn('#ffffff')[0]).toBe(okabeIto[0].toLowerCase());
  });

  it('has no two colours alike', () => {
    for (const { ground } of [light, dark]) expect(new Set(paletteOn(ground)).size).toBe(okabeIto.length);
  });
});

describe('the look of a build', () => {
  it('repeats only after 210 builds', () => {
    const looks = Array.from({ length: 210 }, (_, ordinal) => JSON.stringify(identityOf(ordinal, light)));
    expect(new Set(looks).size).toBe(210);
    expect(identityOf(210, light)).toEqual(identityOf(0, light));
  });

  it('changes to ink for the reference, but keeps its dash and marker', () => {
    expect(identityOf(3, light, true)).toEqual({ ...identityOf(3, light), colour: light.ink });
  });
});
