/* Reads and analyses one CSV file in a process of its own and prints what it cost: `node analyse-one.js FILE [KERNEL RATE]`. */
import { analyzeRecording, type KernelName, makeTrace } from '../../analysis/index.js';
import { readTraceCsv } from '../../daq/csv/trace-csv.js';

const [path, kernel, rate_Hz] = process.argv.slice(2);
const from = performance.now();
const { trace } = await readTraceCsv(path!);
const read = performance.now();
const rig = kernel ? { kernel: kernel as KernelName, conversionPeriod_s: 1 / Number(rate_Hz) } : {};
const made = makeTrace({ ...trace, rig });
const outcome = made.ok ? analyzeRecording(made.trace) : made;
const done = performance.now();
console.log(
  JSON.stringify({
    samples: trace.force.time_s.length,
    parse_s: (read - from) / 1e3,
    analyse_s: (done - read) / 1e3,
    peak_MB: process.resourceUsage().maxRSS / 1024,
    outcome: outcome.ok ? outcome.analysis.friction.mean_N : outcome.refusal,
  }),
);
