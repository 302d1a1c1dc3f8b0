import type { Comparison } from '../comparison.ts';
import type { NameKind } from '../keys.ts';

/**
 * What something of a plan is called in the newer revision: `pumps.shift@3`, with the names of the procedures that perform
 * it in front and its place behind. `scope` is the new name of the procedure that the plan is of.
 */
export function nowNamed(c: Comparison, name: string, kinds: readonly NameKind[], scope: string): string {
  const at = name.indexOf('@');
  const own = at < 0 ? name : name.slice(0, at);
  const place = at < 0 ? '' : name.slice(at);
  const dot = own.indexOf('.');
  if (dot >= 0) {
    const as = own.slice(0, dot);
    const inner = nowNamed(c, own.slice(dot + 1), kinds, performedAs(c, as, scope));
    return `${c.renames.now(as, 'steps', scope)}.${inner}${place}`;
  }
  for (const kind of kinds) {
    const now = c.renames.now(own, kind, scope);
    if (now !== own) return now + place;
  }
  return name;
}

/** The path of a step in the newer revision: the names from the outside in, each with its place. */
export const nowAt = (c: Comparison, path: string, scope: string): string =>
  path
    .split('/')
    .map((one) => nowNamed(c, one, ['steps'], scope))
    .join('/');

/** The procedure that another one performs under a name, by its new name. */
function performedAs(c: Comparison, as: string, scope: string): string {
  const found = c.steps.get(scope)?.pairs.find(({ before }) => before.kind === 'perform' && before.id === as);
  return found === undefined ? scope : String(found.after.value['perform']);
}
