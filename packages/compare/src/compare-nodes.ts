import { pointerTo } from '@ferrule/engine';
import type { At, Comparison } from './comparison.ts';
import { listOf, mappingOf } from './json.ts';
import { nodeKeys } from './keys.ts';
import type { NodeMatch, Placed } from './match-nodes.ts';
import { normal, sameMeaning } from './quantities.ts';
import { arrow, describeNode, placeOf, stated, write } from './say.ts';
import { weightOfNode } from './weigh.ts';

/** What became of the steps of a procedure, or of a body of rework. */
export function compareNodes(c: Comparison, at: At, { pairs, gone, come }: NodeMatch): void {
  for (const { before, after, isMoved } of pairs) {
    const one = nodeAt(at, after, before.pointer, after.pointer);
    if (before.id !== after.id)
      c.add(one, 'renamed', 'wording', {
        before: stated(before.pointer, before.id),
        after: stated(after.pointer, after.id),
      });
    if (isMoved)
      c.add(one, 'moved', 'work', {
        before: stated(before.pointer, placeOf(before, c.was)),
        after: stated(after.pointer, placeOf(after, c.is)),
      });
    c.keys(one, nodeKeys[after.kind] ?? {}, before.value, after.value);
    if (after.kind === 'step') transitions(c, one, before.value['changes'], after.value['changes']);
    if (after.kind === 'choose') cases(c, one, before.value['cases'], after.value['cases']);
  }
  for (const node of gone) {
    const one = nodeAt(at, node, node.pointer, '');
    const weight = weightOfNode(node, c.was);
    c.add(one, 'removed', weight, {
      before: stated(node.pointer, describeNode(node)),
      ...(weight === 'work' ? {} : { effect: 'weaker' }),
    });
  }
  for (const node of come) {
    const one = nodeAt(at, node, '', node.pointer);
    const weight = weightOfNode(node, c.is);
    c.add(one, 'added', weight, {
      after: stated(node.pointer, describeNode(node)),
      ...(weight === 'work' ? {} : { effect: 'stronger' }),
    });
  }
}

function nodeAt(at: At, node: Placed, before: string, after: string): At {
  return { kind: node.kind, name: `${at.name}/${node.path}`, scope: at.scope, before, after };
}

function transitions(c: Comparison, at: At, was: unknown, is: unknown): void {
  const before = mappingOf(c.inNewStates(was));
  const after = mappingOf(is);
  for (const state of new Set([...Object.keys(before), ...Object.keys(after)])) {
    if (sameMeaning(before[state], after[state])) continue;
    const inner = { ...at, before: pointerTo(at.before, 'changes'), after: pointerTo(at.after, 'changes') };
    c.differ(inner, state, 'changed', 'work', arrow(state, before[state]), arrow(state, after[state]));
  }
}

function cases(c: Comparison, at: At, was: unknown, is: unknown): void {
  const whens = (value: unknown, scope: string | undefined) =>
    listOf(value).map((one) => {
      const { when } = mappingOf(one);
      return { when, key: normal(scope === undefined ? when : c.inNewNames(when, scope)) };
    });
  const before = whens(was, at.scope);
  const after = whens(is, undefined);
  const left = after
    .map((one, index) => ({ ...one, index }))
    .filter(({ key }) => !before.some((one) => one.key === key));
  before.forEach(({ when, key }, index) => {
    if (after.some((one) => one.key === key)) return;
    const to = left.shift();
    c.add(at, to === undefined ? 'removed' : 'rule-changed', 'work', {
      key: 'cases',
      before: stated(pointerTo(at.before, 'cases', index, 'when'), write(when) ?? ''),
      ...(to === undefined
        ? {}
        : { after: stated(pointerTo(at.after, 'cases', to.index, 'when'), write(to.when) ?? '') }),
    });
  });
  for (const { when, index } of left)
    c.add(at, 'added', 'work', {
      key: 'cases',
      after: stated(pointerTo(at.after, 'cases', index, 'when'), write(when) ?? ''),
    });
}
