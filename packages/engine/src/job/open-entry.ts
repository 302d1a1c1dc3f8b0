import { nearest } from '../logic/index.ts';
import type { Entry, Plan } from '../model/plan.ts';
import { type Quantity, writeQuantity } from '../quantity/index.ts';
import { isLive, PHASE, progressOf } from './control.ts';
import { findEntry } from './find.ts';
import { onHold } from './here.ts';
import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';
import { plausibleText, type ReadingEntry } from './repeats.ts';

/** The entry that is asked for now under this name, or the refusal that says which ones are. */
export function openEntry(plan: Plan, job: Job, name: string): Entry | readonly Refusal[] {
  const { control } = job;
  if (control.hold >= 0) return [onHold(plan, job)];
  const node = plan.nodes[control.at];
  const isTaking = node?.node === 'step' && progressOf(plan, control, control.at) === PHASE.entries;
  const open = isTaking ? node.entries.filter((one) => !isLive(plan.entries[one], control.bytes)) : [];
  const index = findEntry(plan, name);
  const entry = index !== undefined && open.includes(index) ? plan.entries[index] : undefined;
  if (entry !== undefined) return entry;
  const names = open.map((one) => plan.entries[one]?.name ?? '');
  const known =
    index === undefined
      ? nearest(
          name,
          plan.entries.map((one) => one.name),
        )
      : undefined;
  return [
    {
      code: 'not-offered',
      message:
        index === undefined
          ? `There is no entry ${name}${known === undefined ? '' : `; did you mean ${known}?`}`
          : `${name} is not asked for now.`,
      remedy:
        names.length > 0
          ? `Asked for now: ${names.join(', ')}.`
          : `Go on with ${node?.path ?? 'closing the job'}.`,
      about: name,
    },
  ];
}

/** The refusal of a value that a reading cannot have. */
export function implausible(plan: Plan, quantity: Quantity, entry: ReadingEntry): Refusal {
  const [low, high] = plausibleText(plan, entry);
  return {
    code: 'implausible',
    message: `${writeQuantity(quantity)} cannot be right here: ${entry.title} lies between ${low} and ${high}.`,
    remedy:
      'Look at the instrument, its zero and the unit, and read again. If it stays so, leave a note and ask the lead.',
    about: entry.name,
  };
}
