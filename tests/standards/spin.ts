import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Plan } from '@ferrule/engine';
import { type Claim, promelaOf, type Tries } from './promela.ts';

/** What Spin says of one plan. */
export interface Checked {
  /** The properties that are refuted, as the claims of the model tell of them. */
  readonly refuted: ReadonlySet<string>;
  /** Those among them of which nobody can know that they come about. */
  readonly unsure: ReadonlySet<string>;
  /** The paths of the steps that are done on some way. */
  readonly done: ReadonlySet<string>;
  readonly reachesEnd: boolean;
}

export interface Search {
  readonly plans: readonly Checked[];
  readonly states: number;
}

const runs = (program: string, word: string): boolean => spawnSync(program, [word]).status === 0;

/** What has to be there for a search, and is not; undefined when all of it is there. */
export function lacking(): string | undefined {
  if (!runs('spin', '-V')) return 'spin is not installed';
  return runs('cc', '--version') ? undefined : 'there is no C compiler';
}

const run = (folder: string, program: string, words: readonly string[]): string => {
  const { status, stdout, stderr, error } = spawnSync(program, words, {
    cwd: folder,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  if (status !== 0)
    throw new Error(`${program}: ${error?.message ?? ''}${stderr.slice(-2000)}${stdout.slice(-2000)}`);
  return stdout;
};

/** Has Spin go every way through plans, and answers what it says of each, in their order. */
export function search(plans: readonly Plan[], tries: Tries): Search {
  const { text, claims } = promelaOf(plans, tries);
  const folder = mkdtempSync(join(tmpdir(), 'spin-'));
  try {
    writeFileSync(join(folder, 'model.pml'), text);
    run(folder, 'spin', ['-o3', '-a', 'model.pml']);
    run(folder, 'cc', ['-w', '-DSAFETY', '-DNOREDUCE', '-DVECTORSZ=8192', '-o', 'pan', 'pan.c']);
    // All errors are said (-c0); what no way comes to is listed at the end.
    const said = run(folder, './pan', ['-c0', '-m5000000', '-w20']);
    const fault = /.*(pan:\d+: invalid end state|max search depth too small|aborting|out of memory).*/.exec(
      said,
    );
    if (fault !== null) throw new Error(`the search was not whole: ${fault[0]}`);
    return { plans: plans.map((_, number) => checkedOf(number, claims, said)), states: statesOf(said) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const statesOf = (said: string): number => Number(/(\d+) states, stored/.exec(said)?.[1] ?? Number.NaN);

function checkedOf(plan: number, claims: readonly Claim[], said: string): Checked {
  const failed = numbersIn(said, /assertion violated \(+(\d+) ?< ?0\)/g);
  const unreached = numbersIn(said, /assert\(+(\d+) ?> ?0\)+/g);
  const own = [...claims.entries()].filter(([, claim]) => claim.plan === plan);
  const refuted = own.filter(([number]) => failed.has(number));
  const marks = own.filter(([, { says }]) => says === 'end' || says.startsWith('step '));
  const come = new Set(marks.flatMap(([number, { says }]) => (unreached.has(number) ? [] : says)));
  return {
    refuted: new Set(refuted.map(([, { says }]) => says)),
    unsure: new Set(refuted.flatMap(([, { says, isUnsure }]) => (isUnsure ? says : []))),
    done: new Set([...come].flatMap((says) => (says === 'end' ? [] : says.slice('step '.length)))),
    reachesEnd: come.has('end'),
  };
}

const numbersIn = (text: string, pattern: RegExp): ReadonlySet<number> =>
  new Set([...text.matchAll(pattern)].map((match) => Number(match[1])));
