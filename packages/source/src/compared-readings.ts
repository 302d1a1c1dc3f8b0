import { inside, namesOf, type Placed, textOf } from './placed.ts';
import { isList, isMapping, type SourceValue } from './source-value.ts';

/** A reading that another one is set beside, and where. */
export interface Compared {
  /** `procedure/reading`. */
  readonly reading: string;
  /** The derived value or the tolerance that has both. */
  readonly by: string;
}

/**
 * The readings that stand together with one in a derived value or in a tolerance. What two readings with one instrument have
 * in common falls out of their difference, and with two instruments it does not. Names are taken as they are written, in
 * whatever procedure they stand, so that rather too many are found than too few.
 */
export function comparedWith(procedures: Placed, reading: string): readonly Compared[] {
  const expressions = new Map<string, Set<string>>();
  const readings = new Map<string, string[]>();
  const roots: [string, Set<string>][] = [];
  for (const procedure of namesOf(procedures)) {
    const here = inside(procedures, procedure);
    const of = (section: string) => here && inside(here, section);
    for (const name of namesOf(of('readings')))
      readings.set(name, [...(readings.get(name) ?? []), `${procedure}/${name}`]);
    for (const section of ['derived', 'tolerances'])
      for (const name of namesOf(of(section))) {
        const things = of(section);
        const mentioned = new Set<string>();
        collect((things && inside(things, name)?.value) ?? '', mentioned);
        roots.push([name, mentioned]);
        if (section === 'derived')
          expressions.set(name, new Set([...(expressions.get(name) ?? []), ...mentioned]));
      }
  }
  const found = new Map<string, Compared>();
  for (const [by, mentioned] of roots) {
    const all = new Set(mentioned);
    // A set that grows while it is walked is walked to its end.
    for (const name of all) for (const inner of expressions.get(name) ?? []) all.add(inner);
    const together = [...all].flatMap((name) => readings.get(name) ?? []);
    if (!together.includes(reading)) continue;
    for (const one of together) if (one !== reading && !found.has(one)) found.set(one, { reading: one, by });
  }
  return [...found.values()];
}

/** Every word of what is written, without the procedure that it is performed as and the bore. */
function collect(value: SourceValue, into: Set<string>): void {
  if (isMapping(value)) for (const item of Object.values(value)) collect(item, into);
  else if (isList(value)) for (const item of value) collect(item, into);
  else into.add((value.split('@')[0] ?? '').split('.').at(-1) ?? '');
}

/** The instrument of a reading that is named `procedure/reading`. */
export function instrumentOf(procedures: Placed, reading: string): string {
  let at: Placed | undefined = procedures;
  const [procedure = '', name = ''] = reading.split('/');
  for (const key of [procedure, 'readings', name, 'instrument']) at = at && inside(at, key);
  return textOf(at);
}
