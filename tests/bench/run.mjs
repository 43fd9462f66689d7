/*
 * `npm run bench`: every benchmark of benchmarks.ts, each in a process of its own; `npm run bench -- NAME` runs one.
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

/** @param {string[]} args */
const runOne = (args) =>
  spawnSync(process.execPath, [join(bundle, 'run-one.js'), ...args], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  });

const known = runOne(['--list']).stdout.toString().trim().split('\n');
const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !known.includes(name));
if (unknown.length > 0) {
  console.error(`no benchmark '${unknown[0]}'; wanted ${known.join(', ')}`);
  process.exitCode = 2;
} else
  for (const name of wanted.length > 0 ? wanted : known) {
    const { status } = spawnSync(process.execPath, [join(bundle, 'run-one.js'), name], {
      cwd: root,
      stdio: 'inherit',
    });
    if (status !== 0) process.exitCode = 1;
  }
