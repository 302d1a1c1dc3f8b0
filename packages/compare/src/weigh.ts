import type { Weight } from './change.ts';
import { has, type Mapping, mappingOf } from './json.ts';
import type { NameKind } from './keys.ts';
import { type Placed, placeNodes } from './match-nodes.ts';

const conformityKeys = ['judge', 'read', 'observe', 'identify', 'renew', 'witness', 'together-with'];

/**
 * A node that judges, reads or waits for another person weighs more than one that only works. One that performs a procedure
 * weighs as much as what that does; `document` is the one that the node stands in.
 */
export const weightOfNode = (node: Placed, document: Mapping): Weight => weigh(node, document, new Set());

function weigh({ kind, value, bodies }: Placed, document: Mapping, performing: ReadonlySet<string>): Weight {
  if (kind === 'hold') return 'safety';
  if (kind === 'step' && (has(value, 'witness') || has(value, 'together-with'))) return 'safety';
  if (kind === 'step' && conformityKeys.some((key) => has(value, key))) return 'conformity';
  if (kind === 'perform') return performed(String(value['perform']), document, performing);
  return heaviest(
    bodies
      .filter(({ slot }) => slot !== 'if-struck/rework')
      .flatMap(({ nodes }) => nodes.map((one) => weigh(one, document, performing))),
  );
}

function performed(name: string, document: Mapping, performing: ReadonlySet<string>): Weight {
  // A pack in which procedures perform each other is refused elsewhere; here it must only come to an end.
  if (performing.has(name)) return 'work';
  const { steps } = mappingOf(mappingOf(document['procedures'])[name]);
  const within = new Set([...performing, name]);
  return heaviest(placeNodes(steps, '').map((one) => weigh(one, document, within)));
}

const heaviest = (some: readonly Weight[]): Weight =>
  some.includes('safety') ? 'safety' : some.includes('conformity') ? 'conformity' : 'work';

/** What it weighs that a thing of a kind is new or gone. A procedure weighs as much as what it does. */
export const weightOf = (kind: NameKind, name: string, document: Mapping): Weight => {
  if (kind === 'hazards') return 'safety';
  if (kind === 'procedures') return performed(name, document, new Set());
  if (
    kind === 'tolerances' ||
    kind === 'readings' ||
    kind === 'observations' ||
    kind === 'derived' ||
    kind === 'holds'
  )
    return 'conformity';
  return 'work';
};

/** Whether something protects less when a thing of a kind is gone. */
export const lossOf = (kind: NameKind): { readonly effect?: 'weaker' } =>
  kind === 'tolerances' || kind === 'hazards' ? { effect: 'weaker' } : {};
