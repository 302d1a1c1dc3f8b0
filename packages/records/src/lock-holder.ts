import { readFileSync, readlinkSync } from 'node:fs';
import { getPriority, hostname } from 'node:os';
import { codeOf } from './code-of.ts';

/**
 * A name for this process that others can ask about: where its number counts, its number, and when it was started, since
 * numbers are given away anew. Where /proc tells none of this it is only the name of the computer.
 */
export function ownName(): string {
  try {
    const pid = readlinkSync('/proc/self');
    return `${here()} ${pid} ${processAt(pid).start}`;
  } catch {
    return hostname();
  }
}

/** Whether the process of a name has ended; undefined when that cannot be found out, as on another computer. */
export function hasEnded(name: string): boolean | undefined {
  const [, where, pid = '', start] = /^(.*) (\d+) (\d+)$/.exec(name) ?? [];
  try {
    if (where !== here()) return undefined;
    // Unlike /proc, this answers for the processes of other users everywhere.
    getPriority(Number(pid));
  } catch (error) {
    return error instanceof Error &&
      'info' in error &&
      codeOf(error) === 'ERR_SYSTEM_ERROR' &&
      isGone(error.info)
      ? true
      : undefined;
  }
  try {
    const now = processAt(pid);
    return now.start !== start || now.isOver;
  } catch {
    return undefined;
  }
}

const isGone = (info: unknown): boolean =>
  typeof info === 'object' && info !== null && 'code' in info && info.code === 'ESRCH';

/** The computer, and on it the space in which numbers of processes count: pid_namespaces(7). */
const here = (): string => `${hostname()} ${readlinkSync('/proc/self/ns/pid')}`;

/** Fields 22 and 3 of proc_pid_stat(5): the start in ticks, and whether only its parent has not taken notice yet. */
function processAt(pid: string): { readonly start: string; readonly isOver: boolean } {
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
  // The name in field 2 may hold spaces and brackets.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return { start: fields[19] ?? '', isOver: fields[0] === 'Z' || fields[0] === 'X' };
}
