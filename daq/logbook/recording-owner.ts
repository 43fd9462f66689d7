import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';

/**
 * Names the running process so that a later one can tell whether it still lives: host, process id and, where
 * the system tells it (Linux), the boot and the clock tick at which it started, since ids are used again.
 */
export function thisProcess(): string {
  return [hostname(), process.pid, startOf(process.pid)].join(' ');
}

/** False when the named process has certainly ended; another host's process cannot be judged and counts as alive. */
export function isAlive(owner: string): boolean {
  const [host, pid, start] = owner.split(' ');
  if (host !== hostname()) return true;
  try {
    process.kill(Number(pid), 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM' && start === startOf(Number(pid));
  }
  return start === startOf(Number(pid));
}

function startOf(pid: number): string {
  try {
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
    // Field 22 of stat, counted after the command name, which may hold spaces and brackets (proc(5)).
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const [state, ...fields] = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return state === 'Z' ? 'ended' : `${boot}:${fields[18]}`;
  } catch {
    return '-';
  }
}
