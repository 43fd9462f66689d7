import type { StandingStart } from '../../answers/index.js';
import type { Identity } from '../identity/identity.js';
import { axis, baseLayout, rangeOf } from './axes.js';
import { heading } from './picture-table.js';
import type { Figure } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** Starts of one build's sweeps. */
export interface StartsOfBuild {
  readonly name: string;
  readonly identity: Identity;
  readonly starts: readonly StandingStart[];
}

/** What starts take more after standing than without, against how long the shaft stood. */
export function startsFigure(builds: readonly StartsOfBuild[], { theme, isNarrow, units }: Setting): Figure {
  const { force } = scalesOf(units);
  const all = builds.flatMap(({ starts }) => starts);
  const shortest = Math.min(...all.map(({ stood_s }) => stood_s));
  const longest = Math.max(...all.map(({ stood_s }) => stood_s));
  const y = rangeOf([
    0,
    ...all.flatMap(({ more_N }) => [force.factor * more_N.low95, force.factor * more_N.high95]),
  ]);
  return {
    data: builds.map(({ identity: { colour, marker }, starts }) => ({
      type: 'scatter',
      mode: 'markers',
      x: starts.map(({ stood_s }) => stood_s),
      y: starts.map(({ more_N }) => force.factor * more_N.value),
      error_y: {
        type: 'data',
        symmetric: false,
        array: starts.map(({ more_N }) => force.factor * (more_N.high95 - more_N.value)),
        arrayminus: starts.map(({ more_N }) => force.factor * (more_N.value - more_N.low95)),
        color: colour,
        thickness: 1.5,
        width: 6,
      },
      marker: { color: colour, size: 10, symbol: marker },
      hoverinfo: 'skip',
    })),
    layout: {
      ...baseLayout(theme, { l: isNarrow ? 52 : 64, r: 16, t: 8, b: 52 }),
      xaxis: {
        ...axis(theme, 'Stood before the start, s', [Math.log10(shortest / 1.6), Math.log10(longest * 1.6)]),
        type: 'log',
        tickvals: [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500],
      },
      yaxis: axis(theme, `${isNarrow ? 'More' : 'More than without standing'}, ${force.unit}`, y),
    },
    table: () => ({
      columns: ['build', 'stood_s', 'direction', heading('excess', force), heading('more', force)],
      rows: builds.flatMap(({ name, starts }) =>
        starts.map(({ stood_s, direction, excess_N, more_N }) => [
          name,
          stood_s,
          direction,
          force.factor * excess_N,
          force.factor * more_N.value,
        ]),
      ),
    }),
  };
}
