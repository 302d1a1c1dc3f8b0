import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { writtenNodes } from './written-steps.ts';

/** Steps one after the other, each for some variants only, that are about the same thing. */
export interface ExclusiveSteps {
  /** The procedure that they stand in, as a pointer. */
  readonly procedure: string;
  /** What they are all about: a joint, a reading, a state, a part. */
  readonly about: string;
  readonly steps: readonly { readonly pointer: string; readonly variants: readonly string[] }[];
}

/** Such steps are written to be one for each variant. Those inside a condition are left out: they are for fewer. */
export function* exclusiveSteps(pack: Pack): Generator<ExclusiveSteps> {
  const seen = new Set<string>();
  for (const { node, pointer, beside, procedure } of writtenNodes(pack)) {
    if (seen.has(pointer) || !('step' in node) || procedure === undefined) continue;
    const list = pointer.slice(0, pointer.lastIndexOf('/'));
    const from = beside.indexOf(node);
    let shared = aboutOf(node);
    const steps: { readonly pointer: string; readonly variants: readonly string[] }[] = [];
    for (let index = from; index < beside.length; index++) {
      const next = beside[index];
      if (next === undefined || !('step' in next)) break;
      const condition = next['only-if'];
      const about = aboutOf(next).filter((one) => shared.includes(one));
      if (condition === undefined || !('variant' in condition) || about.length === 0) break;
      shared = about;
      const at = pointerTo(list, index);
      seen.add(at);
      steps.push({ pointer: at, variants: condition.variant });
    }
    const [about] = shared;
    if (steps.length > 1 && about !== undefined && !isInside(pack, list))
      yield { procedure: pointerTo('/procedures', procedure), about, steps };
  }
}

const listOf = (names: string | readonly string[] | undefined): readonly string[] =>
  names === undefined ? [] : typeof names === 'string' ? [names] : names;

const aboutOf = (step: written.Step): readonly string[] => [
  ...listOf(step.tighten?.joint),
  ...Object.keys(step.changes ?? {}),
  ...listOf(step.read),
  ...listOf(step.observe),
  ...listOf(step.remove),
  ...listOf(step.renew),
  ...listOf(step.identify?.part),
];

/** Whether a list of nodes stands in a case or under a condition. */
function isInside(pack: Pack, list: string): boolean {
  let here: unknown = pack;
  for (const key of list.split('/').slice(1)) {
    if (typeof here !== 'object' || here === null) return true;
    if ('only-if' in here || 'choose' in here) return true;
    here = Reflect.get(here, key);
  }
  return false;
}
