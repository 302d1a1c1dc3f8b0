import { nearest, pointerTo } from '@ferrule/engine';
import { type WrittenNode, writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const uncoveredGiven: DiagnosticKind = {
  code: 'uncovered-given',
  severity: 'warning',
  says: 'A procedure is given a value that none of its conditions asks for, or a condition asks for one that its loop never has.',
  marks: 'value',
  examine: uncoveredValues,
};

/** What the conditions of a procedure ask of a name: the values, and where. */
interface Asked {
  readonly values: Map<string, string>;
  hasOtherwise: boolean;
}

function* uncoveredValues({ pack }: Subject): Generator<Finding> {
  const nodes = [...writtenNodes(pack)];
  yield* neverInLoop(nodes);
  const asked = new Map<string, Asked>();
  for (const node of nodes) note(node, asked);
  for (const { node, pointer } of nodes) {
    if (!('perform' in node)) continue;
    for (const [name, value] of Object.entries(node.given ?? {})) {
      const of = asked.get(`${node.perform} ${name}`);
      // A bound name is not known here; one value alone may be an extra for that case.
      if (of === undefined || of.hasOtherwise || of.values.has(value)) continue;
      const values = [...of.values.keys()];
      const meant = nearest(value, values);
      const isBound = nodes.some((one) => 'each' in one.node && one.node.each === value.split('.')[0]);
      const isTaken = Object.values(pack.procedures).some((one) => one.takes?.includes(value));
      if (isBound || isTaken || values.length < 2) continue;
      yield {
        pointer: pointerTo(pointer, 'given', name),
        message: `${node.perform} has something to do where ${name} is ${values.join(' or ')}, and nothing for ${value}.`,
        remedy:
          meant === undefined
            ? `Add a condition for ${value}, or give one of these.`
            : `Did you mean ${meant}?`,
        other: [...of.values].map(([one, at]) => ({ pointer: at, message: `for ${one}` })),
      };
    }
  }
}

/** A condition inside a loop over a written list, that asks for a value which the list has not. */
function* neverInLoop(nodes: readonly WrittenNode[]): Generator<Finding> {
  for (const { node: loop, pointer: around } of nodes) {
    if (!('each' in loop) || typeof loop.of === 'string') continue;
    const items = loop.of as readonly string[];
    for (const { node, pointer } of nodes) {
      if (!pointer.startsWith(`${around}/steps/`)) continue;
      for (const [condition, at] of conditionsOf(node, pointer)) {
        const value = 'given' in condition ? Object.entries(condition.given as object) : [];
        for (const [name, wanted] of value) {
          if (name !== loop.each || items.includes(String(wanted))) continue;
          const meant = nearest(String(wanted), items);
          yield {
            pointer: pointerTo(at, 'given', name),
            message: `${name} is never ${String(wanted)}: the loop goes over ${items.join(', ')}.`,
            remedy: meant === undefined ? 'Ask for one of these.' : `Did you mean ${meant}?`,
            other: [{ pointer: pointerTo(around, 'of'), message: 'the loop' }],
          };
        }
      }
    }
  }
}

function conditionsOf(
  node: WrittenNode['node'],
  pointer: string,
): readonly (readonly [condition: object, pointer: string])[] {
  const cases =
    'choose' in node
      ? node.cases.map(({ when }, number) => [when, pointerTo(pointer, 'cases', number, 'when')] as const)
      : [];
  const own =
    'only-if' in node && node['only-if'] !== undefined
      ? [[node['only-if'], pointerTo(pointer, 'only-if')] as const]
      : [];
  return [...cases, ...own];
}

function note({ node, pointer, procedure }: WrittenNode, asked: Map<string, Asked>): void {
  if (procedure === undefined) return;
  const conditions: (readonly [condition: object, pointer: string, hasOtherwise: boolean])[] = [];
  if ('choose' in node)
    for (const [number, { when }] of node.cases.entries())
      conditions.push([when, pointerTo(pointer, 'cases', number, 'when'), node.otherwise !== undefined]);
  if ('only-if' in node && node['only-if'] !== undefined)
    conditions.push([node['only-if'], pointerTo(pointer, 'only-if'), false]);
  for (const [condition, at, hasOtherwise] of conditions) {
    if (!('given' in condition) || typeof condition.given !== 'object' || condition.given === null) continue;
    for (const [name, value] of Object.entries(condition.given)) {
      const key = `${procedure} ${name}`;
      const known = asked.get(key) ?? { values: new Map<string, string>(), hasOtherwise: false };
      asked.set(key, known);
      known.values.set(String(value), pointerTo(at, 'given', name));
      known.hasOtherwise ||= hasOtherwise;
    }
  }
}
