/*
 * `npm test`: set-up, then every test, with format, lint and types beside them. Arguments go to vitest:
 * `npm test -- tests/analysis`. Without any, pages are looked at in a browser while the rest runs, and what records in
 * real time runs alone at the end. The last line is the count, `N passed, N failed`; a run without tests has failed.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { runBeside } from './set-up/processes.mjs';
import { setUp } from './set-up.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** Runs a check and shows what it says once it has ended. @param {string} program a file of node_modules @param {string[]} args */
async function check(program, args) {
  const tool = join(root, 'node_modules', program);
  const { ok, output } = await runBeside(process.execPath, [tool, ...args], { cwd: root });
  process.stdout.write(output);
  return ok;
}

/**
 * Runs vitest and counts. Output comes as it is made, or in one piece at the end where `later` asks for that.
 * @param {string[]} args @param {{ later?: boolean }} [options]
 */
async function runTests(args, { later = false } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-tests-'));
  const report = join(folder, 'report.json');
  const program = join(root, 'node_modules', 'vitest', 'vitest.mjs');
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${report}`];
  try {
    const child = spawn(process.execPath, [program, 'run', ...args, ...reporters], {
      cwd: root,
      stdio: later ? ['ignore', 'pipe', 'pipe'] : 'inherit',
    });
    /** @type {Buffer[]} */
    const output = [];
    for (const stream of [child.stdout, child.stderr]) stream?.on('data', (chunk) => output.push(chunk));
    const status = await new Promise((resolve, reject) => child.on('error', reject).on('close', resolve));
    process.stdout.write(Buffer.concat(output));
    return count(status === 0, JSON.parse(readFileSync(report, 'utf8')));
  } catch (error) {
    console.error(`vitest left no report: ${error instanceof Error ? error.message : error}`);
    return { passed: 0, failed: 1, skipped: [] };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** @param {string[]} names */
const projects = (...names) => names.flatMap((name) => ['--project', name]);

async function runEverything() {
  const besides = runTests(projects('pages'), { later: true });
  const counts = [await runTests(projects('rooms', 'rigs')), await besides];
  counts.push(await runTests(projects('whole')));
  return {
    passed: counts.reduce((sum, { passed }) => sum + passed, 0),
    failed: counts.reduce((sum, { failed }) => sum + failed, 0),
    skipped: counts.flatMap(({ skipped }) => skipped),
  };
}

/**
 * The count of a vitest report. A file that could not be loaded counts as one failure, and so does a run that
 * failed in some other way or had no tests.
 * @param {boolean} ok whether vitest itself was content
 * @param {{ testResults: { status: string, assertionResults: { status: string, fullName: string }[] }[] }} report
 */
export function count(ok, { testResults }) {
  const tests = testResults.flatMap((file) => file.assertionResults);
  const brokenFiles = testResults.filter(
    (file) => file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
  );
  const passed = tests.filter((test) => test.status === 'passed').length;
  const failed = tests.filter((test) => test.status === 'failed').length + brokenFiles.length;
  const skipped = tests
    .filter((test) => !['passed', 'failed'].includes(test.status))
    .map((test) => test.fullName);
  return { passed, failed: failed === 0 && (!ok || passed === 0) ? 1 : failed, skipped };
}

async function main() {
  /** @type {ReturnType<typeof count>} */
  let result = { passed: 0, failed: 1, skipped: [] };
  if (await setUp({ forTests: true })) {
    const besides = Promise.all([
      check('@biomejs/biome/bin/biome', ['check', '.']),
      check('typescript/bin/tsc', ['-b', 'tests']),
    ]);
    const args = process.argv.slice(2);
    const tests = args.length > 0 ? await runTests(args) : await runEverything();
    const checks = await besides;
    const content = checks.filter(Boolean).length;
    result = { ...tests, passed: tests.passed + content, failed: tests.failed + checks.length - content };
  }
  for (const name of result.skipped) console.log(`skipped: ${name}`);
  const skipped = result.skipped.length > 0 ? `, ${result.skipped.length} skipped` : '';
  process.exitCode = result.failed === 0 ? 0 : 1;
  console.log(`${result.passed} passed, ${result.failed} failed${skipped}`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) main();
