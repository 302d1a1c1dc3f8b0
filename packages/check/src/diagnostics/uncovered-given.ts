import { nearest, pointerTo } from '@ferrule/engine';
import { type WrittenNode, writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const uncoveredGiven: DiagnosticKind = {
  code: 'uncovered-given',
  severity: 'warning',
  says: 'A procedure is given a value that none of its conditions asks for.',
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
