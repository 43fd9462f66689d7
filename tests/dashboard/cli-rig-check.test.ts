import { describe, expect, it } from 'vitest';
import { RIG_CHECKS } from '../../daq/conformance/rig-check.js';
import { checkSentences } from '../../dashboard/cli/rig-check-words.js';
import { linesOf, runCli } from './run-cli.js';

describe('rig-check', () => {
  it('prints a line for each check, with what was found and what is wanted', async () => {
    const { status, stdout, stderr } = await runCli(['rig-check', '--port', 'simulated-rig']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const lines = linesOf(stdout).filter((line) => /^[✓✗–] /.test(line));
    expect(lines).toHaveLength(RIG_CHECKS.length);
    for (const [i, code] of RIG_CHECKS.entries()) {
      expect(lines[i]).toContain(` ${checkSentences[code]}: found `);
      expect(lines[i]).toContain('; wanted ');
    }
    expect(stdout).toMatch(/^– .*: found not asked for; wanted see --drive$/m);
    expect(stdout).toMatch(/^33 passed, 0 failed, 6 not seen\.$/m);
    expect(stdout).toContain('Next: dashpot-bench demo');
  });

  it('turns a drive only when asked to, and shows the cautions first', async () => {
    const { status, stdout, stderr } = await runCli(['rig-check', '--port', 'simulated-rig', '--drive']);
    expect(status).toBe(0);
    expect(stderr).toMatch(/^The drive is about to move\.[\s\S]*cuts the power of the drive/);
    expect(stdout).toMatch(/^✓ Stops the drive when it hears nothing: found E,\d+,\d+,lease-lost,/m);
    expect(stdout).toContain('re-arm it there');
  });

  it('gives the same as one JSON document', async () => {
    const { status, stdout } = await runCli(['rig-check', '--port', 'simulated-rig', '--json']);
    expect(status).toBe(0);
    expect(linesOf(stdout)).toHaveLength(1);
    const report = JSON.parse(stdout);
    expect(report).toMatchObject({ port: 'simulated-rig', passed: 33, failed: 0, unseen: 6 });
    expect(report.identity.rigName).toBe('simulated rig');
    expect(report.checks.map(({ code }: { code: string }) => code)).toEqual([...RIG_CHECKS]);
    expect(Object.keys(report.checks[0])).toEqual(['code', 'outcome', 'found', 'wanted']);
  });

  it('ends with 3 where there is no such port, and with 2 on wrong usage', async () => {
    const missing = await runCli(['rig-check', '--port', '/nowhere/tty']);
    expect(missing).toMatchObject({ status: 3, stdout: '' });
    expect(missing.stderr).toMatch(/^\/nowhere\/tty: found no such port; wanted /);
    expect(await runCli(['rig-check'])).toMatchObject({ status: 2, stdout: '' });
    expect(await runCli(['rig-check', '--port', 'x', '--baud', 'fast'])).toMatchObject({ status: 2 });
  });
});
