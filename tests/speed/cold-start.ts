import { spawnSync } from 'node:child_process';
import { median } from './contest.ts';
import { folder } from './demo-pack.ts';
import { duration, type Row, significant } from './row.ts';

const ROUNDS = 11;
const AIM_MILLISECONDS = 400;
const command = 'packages/cli/bin/ferrule.js';

const calls = [
  { of: 'node -e 0', words: ['-e', '0'] },
  { of: 'ferrule --version', words: [command, '--version'] },
  { of: 'ferrule crank', words: [command, 'crank', folder, '--variant', 'marram-four'] },
] as const;

/** How long a call of the command takes from start to exit, beside Node itself. */
export async function measureColdStart(): Promise<readonly Row[]> {
  const measure = 'a call of the command';
  const call = (words: readonly string[]) => {
    const before = process.hrtime.bigint();
    const { status } = spawnSync(process.execPath, words, { stdio: 'ignore' });
    return { status, nanoseconds: Number(process.hrtime.bigint() - before) };
  };
  const works = calls.map(({ words }) => call(words).status === 0);
  const found = calls.map((): number[] => []);
  for (let round = 0; round < ROUNDS; round++) {
    for (const [place, { words }] of calls.entries()) {
      if (works[place]) found[place]?.push(call(words).nanoseconds);
    }
  }
  const node = median(found[0] ?? []);
  return calls.map(({ of }, place): Row => {
    if (!works[place]) return { measure, of, value: 'not measured: it does not run yet' };
    const spent = median(found[place] ?? []);
    const row = { measure, of, value: duration(spent), ratio: `× ${significant(spent / node)}` };
    if (of !== 'ferrule crank') return row;
    return { ...row, aim: { says: `${AIM_MILLISECONDS} ms`, met: spent <= AIM_MILLISECONDS * 1e6 } };
  });
}
