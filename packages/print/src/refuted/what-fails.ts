import {
  advance,
  type Control,
  findNode,
  type Guard,
  holds,
  type Pack,
  type Plan,
  type Test,
} from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import { entryTitle } from '../telling/titles.ts';
import { cellTitle, cellValue, placeTitle } from './told-way.ts';

/** The refuted property in one sentence or two. */
export function whatFails(plan: Plan, pack: Pack, refutation: Refutation, last: Control): string {
  if (refutation.property === 'ends')
    return `The job can be ended with the engine in a wrong state. ${refutation.guard.because.says}`;
  const step = placeTitle(plan, findNode(plan, refutation.node) ?? -1);
  switch (refutation.property) {
    case 'law': {
      const { because } = refutation.guard;
      if (because.guard === 'interlock')
        return `The job can come to ${step} when that is forbidden. Law ${because.law}: ${because.says}`;
      const wrong = missedBy(plan, refutation.guard, last);
      const says = wrong.map((one) => `${sayValue(plan, pack, one)}. ${sayWanted(plan, one)}`).join(' ');
      return `The job can come to ${step} when it must not be done. ${says === '' ? because.says : says}`;
    }
    case 'goes-on':
      return `The job can get stuck at ${step}: nothing that anybody may do carries it on.`;
    case 'one-case': {
      const { areTrue } = refutation;
      const which =
        areTrue.length === 0
          ? 'none of its cases is true, and there is no otherwise'
          : `${areTrue.length} of its cases are true at once: ${areTrue.join('; ')}`;
      return `The job can get stuck at ${step}: ${which}.`;
    }
    case 'judged': {
      const entry = entryTitle(plan, refutation.entry);
      const when = refutation.atEnd ? 'the job can be ended' : `${step} can be reached`;
      return `"${entry}" has limits, and ${when} without its value having been held against them.`;
    }
  }
}

/** Something that keeps a guard from holding: a cell, its value, and the values that would do. */
export interface Missed {
  readonly cell: number;
  readonly value: number;
  readonly among: readonly number[];
}

/** What keeps a guard from holding where the job stands, or would stand once the step there is done. */
export function missedBy(plan: Plan, guard: Guard, last: Control): readonly Missed[] {
  // A law on what a step may not bring about holds before the act, and no more after it.
  const { bytes } = holds(guard.test, last.bytes) ? advance(plan, last, { signal: 'done' }) : last;
  return unmet(plan, guard.test, bytes, true);
}

function unmet(plan: Plan, test: Test, bytes: Uint8Array, wanted: boolean): readonly Missed[] {
  if (holds(test, bytes) === wanted) return [];
  if ('not' in test) return unmet(plan, test.not, bytes, !wanted);
  if ('cell' in test) {
    const { cell, among } = test;
    const declared = plan.cells[cell];
    const all = declared === undefined || declared.cell === 'counter' ? [] : [...declared.values.keys()];
    const value = bytes[cell] ?? 0;
    return [{ cell, value, among: all.filter((one) => among.includes(one) === wanted) }];
  }
  return ('all' in test ? test.all : test.any).flatMap((one) => unmet(plan, one, bytes, wanted));
}

/** Whether it is enough that one of the cells that a test misses is otherwise. */
export function isEither(test: Test, wanted = true): boolean {
  if ('not' in test) return isEither(test.not, !wanted);
  return 'all' in test ? !wanted : 'any' in test && wanted;
}

/** How many values are named that would do. */
const MOST_VALUES = 3;

/** `Pump of bore 1 is "seated"`. */
export const sayValue = (plan: Plan, pack: Pack, { cell, value }: Missed): string =>
  `${cellTitle(plan, pack, cell)} is "${cellValue(plan, cell, value)}"`;

/** `It has to be "absent".` */
export function sayWanted(plan: Plan, { cell, among }: Missed): string {
  if (among.length === 0 || among.length > MOST_VALUES) return 'It must not be so here.';
  return `It has to be ${among.map((one) => `"${cellValue(plan, cell, one)}"`).join(' or ')}.`;
}
