import type { Weight } from './change.ts';
import { has } from './json.ts';
import type { NameKind } from './keys.ts';
import type { Placed } from './match-nodes.ts';

const conformityKeys = ['judge', 'read', 'observe', 'identify', 'renew', 'witness', 'together-with'];

/** A node that judges, reads or waits for another person weighs more than one that only works. */
export function weightOfNode({ kind, value, bodies }: Placed): Weight {
  if (kind === 'hold') return 'safety';
  if (kind === 'step' && (has(value, 'witness') || has(value, 'together-with'))) return 'safety';
  if (kind === 'step' && conformityKeys.some((key) => has(value, key))) return 'conformity';
  const inner = bodies
    .filter(({ slot }) => slot !== 'if-struck/rework')
    .flatMap(({ nodes }) => nodes.map(weightOfNode));
  return inner.includes('safety') ? 'safety' : inner.includes('conformity') ? 'conformity' : 'work';
}

/** What it weighs that a thing of a kind is new or gone. */
export const weightOf = (kind: NameKind): Weight => {
  if (kind === 'hazards') return 'safety';
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
