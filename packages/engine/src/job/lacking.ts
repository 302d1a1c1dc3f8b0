import { compileAmount, type Lack, mergeLacks, type Read } from '../logic/index.ts';
import type { PlanTolerance } from '../model/plan.ts';

/** Why a tolerance cannot be judged: what its value, or a limit that is worked out, lacks. Nothing when it can be. */
export function lacking({ value, limitsFrom = {} }: PlanTolerance, read: Read): readonly Lack[] {
  return mergeLacks(
    [value, ...Object.values(limitsFrom)].map((typed) => {
      const answer = compileAmount(typed)(read);
      return 'amount' in answer ? [] : answer.lacks;
    }),
  );
}

/** What a person can do where something has no value. */
export function remedyFor(lacks: readonly Lack[]): string {
  const missing = lacks.flatMap((lack) => ('name' in lack ? [lack.name] : []));
  if (missing.length > 0) return `Record ${missing.join(', ')}.`;
  const outside = new Set(lacks.flatMap((lack) => (lack.lack === 'outside-table' ? lack.names : [])));
  return outside.size === 0
    ? 'Strike the reading that is wrong, and take it again.'
    : `Strike ${[...outside].join(' or ')}, and take it again inside the table. Where that cannot be, leave a note and close the job as unfinished.`;
}
