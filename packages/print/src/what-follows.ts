import { type FactBody, findNode, type Job, type Plan, type Remedy } from '@ferrule/engine';
import { stepPlace } from './telling/titles.ts';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/** What a verdict that does not conform leads to, in words; undefined for a conforming one. */
export function whatFollows(plan: Plan, job: Job, { step, verdict }: Judged): string | undefined {
  if (verdict.verdict === 'conforming') return undefined;
  const remedy = remedyOf(plan, step, verdict);
  if (remedy?.remedy !== 'rework') return 'the job is on hold.';
  const used = job.control.bytes[remedy.counter] ?? 0;
  const count = `judged ${used} of at most ${remedy.attempts} times`;
  if (job.control.hold >= 0) return `${count}, so the job is on hold.`;
  const body = plan.nodes[remedy.body];
  const back = body?.node === 'block' && body.resumes !== undefined ? plan.nodes[body.resumes.at] : undefined;
  const then = back === undefined ? '' : `, then on from ${stepPlace(plan, back.path)}`;
  return `rework${then}; ${count}.`;
}

function remedyOf(plan: Plan, path: string, verdict: Judged['verdict']): Remedy | undefined {
  const node = plan.nodes[findNode(plan, path) ?? -1];
  const check = node?.node === 'step' ? node.check : undefined;
  if (check === undefined) return undefined;
  if (check.check !== 'tolerance') return check.nonconforming;
  if (verdict.verdict === 'inconclusive') return check.inconclusive;
  return verdict.verdict === 'nonconforming' && verdict.side === 'low' ? check.low : check.high;
}
