import { jobsOf } from '@ferrule/check';
import type { Pack } from '@ferrule/engine';
import { notAmong } from './open-pack.ts';

/** Why a procedure is no job of its own, if it is none. */
export function noJob(pack: Pack, procedure: string): string | undefined {
  const jobs = jobsOf(pack);
  const wrong = notAmong('job', procedure, jobs);
  if (wrong === undefined || pack.procedures[procedure] === undefined)
    return notAmong('procedure', procedure, jobs);
  return `${procedure} is no job of its own: it is only performed as a part of others. There is ${jobs.join(', ')}.`;
}
