import { findEntry, findNode, type Plan, type Signal } from '@ferrule/engine';

/**
 * Signals of one plan as those of another plan of the same procedure, whose pack has its names in another order: a bundle has
 * them in the order of the alphabet, and a pack as they were written. Names stay, numbers do not.
 */
export const signalsInPlan = (signals: readonly Signal[], from: Plan, to: Plan): readonly Signal[] =>
  signals.map((one): Signal => {
    switch (one.signal) {
      case 'observed':
        return { ...one, entry: entryIn(one.entry, from, to), answer: answerIn(one, from, to) };
      case 'recorded':
      case 'identified':
        return { ...one, entry: entryIn(one.entry, from, to) };
      case 'struck':
        return { ...one, entry: entryIn(one.entry, from, to), node: nodeIn(one.node, from, to) };
      case 'undone':
        return { ...one, node: nodeIn(one.node, from, to) };
      default:
        return one;
    }
  });

const entryIn = (entry: number, from: Plan, to: Plan): number =>
  found(findEntry(to, from.entries[entry]?.name ?? ''));

const nodeIn = (node: number, from: Plan, to: Plan): number =>
  found(findNode(to, from.nodes[node]?.path ?? ''));

function answerIn(
  { entry, answer }: Extract<Signal, { readonly signal: 'observed' }>,
  from: Plan,
  to: Plan,
): number {
  const id = answersOf(from, entry)[answer]?.id;
  const other = answersOf(to, entryIn(entry, from, to)).findIndex((one) => one.id === id);
  return found(other < 0 ? undefined : other);
}

function answersOf(plan: Plan, entry: number): readonly { readonly id: string }[] {
  const found = plan.entries[entry];
  return found?.entry === 'observation' ? found.answers : [];
}

function found(at: number | undefined): number {
  if (at === undefined) throw new RangeError('a plan of the same pack has another name');
  return at;
}
