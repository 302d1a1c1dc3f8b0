import type { Job, Plan, Quantity } from '@ferrule/engine';

/** The wait that a job stands at, when that began and when it ends; undefined where there is none. */
export function waitAt({
  plan,
  job,
}: {
  readonly plan: Plan;
  readonly job: Job;
}): { readonly time: Quantity; readonly began: Date; readonly ends: Date } | undefined {
  const node = plan.nodes[job.control.at];
  if (node?.node !== 'step' || node.act?.act !== 'wait') return undefined;
  const { time } = node.act;
  const began = new Date(job.since);
  // The second is the base unit of times.
  return { time, began, ends: new Date(began.getTime() + Math.ceil(time.value.toNumber()) * 1000) };
}

/** A time that is left, in hours, minutes and seconds: 19 min 35 s. */
export function writeLeft(milliseconds: number): string {
  const seconds = Math.max(1, Math.ceil(milliseconds / 1000));
  const parts = [
    [Math.floor(seconds / 3600), 'h'],
    [Math.floor(seconds / 60) % 60, 'min'],
    [seconds % 60, 's'],
  ] as const;
  return parts
    .filter(([count]) => count > 0)
    .map(([count, unit]) => `${count} ${unit}`)
    .join(' ');
}
