import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import { benchmarks } from './benchmarks.js';

const [wanted] = process.argv.slice(2);
const chosen = benchmarks.find(({ name }) => name === wanted);
if (chosen) {
  const load = loadavg()[0]!;
  console.log(`\n${chosen.name}: ${chosen.what}`);
  const figures = await chosen.run((line) => console.log(`  ${line}`));
  const machine = { node: process.version, processor: cpus()[0]?.model ?? '', cores: cpus().length, load };
  console.log(`  (load average ${load.toFixed(2)} on ${machine.cores} cores before it began)`);
  const folder = join('artefacts', 'bench');
  mkdirSync(folder, { recursive: true });
  const text = JSON.stringify({ name: chosen.name, what: chosen.what, figures, machine }, null, 2);
  writeFileSync(join(folder, `${chosen.name}.json`), `${text}\n`);
} else console.log(JSON.stringify(benchmarks.map(({ name, what, long = false }) => ({ name, what, long }))));
