import compare from 'semver/functions/compare.js';
import parse from 'semver/functions/parse.js';
import type { ComparedBump } from '../document/generated/comparison-document.ts';
import { type Level, revisionLevels } from './needs.ts';

type Called = ComparedBump['called'];

/** By how much a revision is above another, by the precedence of Semantic Versioning 2.0.0, clauses 9 to 11. */
export function calledBump(before: string, after: string): Called {
  const was = parse(before);
  const is = parse(after);
  if (was === null || is === null) return 'unreadable';
  const order = compare(was, is);
  if (order > 0) return 'lower';
  if (order === 0) return 'none';
  if (is.major > was.major) return 'major';
  if (is.minor > was.minor) return 'minor';
  if (is.patch > was.patch) return 'patch';
  return 'pre-release';
}

/** Whether the number of the newer revision says as much as the changes ask for, and why not. */
export function bumpOf(before: string, after: string, needed: Level): ComparedBump {
  const called = calledBump(before, after);
  return { called, needed, ...judged(called, needed, before, after) };
}

function judged(
  called: Called,
  needed: Level,
  before: string,
  after: string,
): { fits: boolean; says: string } {
  const asks = needed === 'none' ? 'Nothing was changed' : `The changes ask for a ${needed} revision`;
  switch (called) {
    case 'unreadable':
      return {
        fits: false,
        says: `${asks}, and ${before} or ${after} is no number of Semantic Versioning 2.0.0: nothing can be told by it.`,
      };
    case 'lower':
      return {
        fits: false,
        says: `${after} is the older number: what was named second is below ${before}. Name the older revision first, unless it is the way back that is to be seen.`,
      };
    case 'pre-release':
      return { fits: true, says: `${asks}. ${before} was no release yet, and promised nothing.` };
    case 'none':
      return needed === 'none'
        ? { fits: true, says: `Both are ${after}, and nothing was changed.` }
        : {
            fits: false,
            says: `${asks}, and both call themselves ${after}: one number stands for two contents.`,
          };
    default: {
      if (Number(parse(before)?.major ?? 1) === 0)
        return {
          fits: true,
          says: `${asks}. From ${before} to ${after} is a ${called} revision; before 1.0.0 a number promises nothing.`,
        };
      const fits = revisionLevels.indexOf(called) >= revisionLevels.indexOf(needed);
      const step = `${before} to ${after} is a ${called} revision`;
      return fits
        ? { fits, says: `${asks}, and ${step}: the number says as much.` }
        : { fits, says: `${asks}, but ${step}: the number says too little.` };
    }
  }
}
