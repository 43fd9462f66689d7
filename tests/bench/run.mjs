/*
 * `npm run bench`: every benchmark of benchmarks.ts, each in a process of its own; `npm run bench -- NAME` runs one, and the
 * long ones run only so.
 * The sources are bundled first, so that what is measured is this tree. Figures also go to artefacts/bench/NAME.json.
 */
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const bundle = join(root, 'dist', '.bench');

await build({
  root,
  configFile: false,
  publicDir: false,
  logLevel: 'warn',
  build: {
    ssr: true,
    outDir: bundle,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: ['run-one', 'analyse-one'].map((name) => join(root, 'tests', 'bench', `${name}.ts`)),
      output: { entryFileNames: '[name].js' },
    },
  },
});

/** @param {string[]} args @param {'pipe' | 'inherit'} output */
const runOne = (args, output) =>
  spawnSync(process.execPath, [join(bundle, 'run-one.js'), ...args], {
    cwd: root,
    stdio: ['ignore', output, 'inherit'],
  });

/** @type {{ name: string, what: string, long: boolean }[]} */
const known = JSON.parse(runOne([], 'pipe').stdout.toString());
const named = process.argv.slice(2);
const unknown = named.find((wanted) => !known.some(({ name }) => name === wanted));
if (unknown !== undefined) {
  const list = known.map(
    ({ name, what, long }) => `  ${name.padEnd(16)} ${what}${long ? ' (only when named)' : ''}`,
  );
  console.error(`no benchmark '${unknown}'; there are\n${list.join('\n')}`);
  process.exitCode = 2;
} else
  for (const name of named.length > 0 ? named : known.filter(({ long }) => !long).map((one) => one.name))
    if (runOne([name], 'inherit').status !== 0) process.exitCode = 1;
