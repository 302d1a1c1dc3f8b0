import { type Pack, type Procedure, pointerTo, saysUnknown } from '@ferrule/engine';
import type { Finding, Subject } from './diagnostics/diagnostic-kind.ts';
import { mapsIn } from './maps-in.ts';
import { writtenNodes } from './written-steps.ts';

/** Names in the heads of procedures, and in their conditions on what they are given, that nothing declares or binds. */
export function* unknownInProcedures({ pack }: Subject): Generator<Finding> {
  const loops = loopNames(pack);
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    const pointer = pointerTo('/procedures', name);
    for (const [number, variant] of (procedure.variants ?? []).entries()) {
      if (Object.hasOwn(pack.variants, variant)) continue;
      const at = pointerTo(pointer, 'variants', number);
      yield { pointer: at, ...saysUnknown('variant', variant, Object.keys(pack.variants)) };
    }
    yield* unknownExports(procedure, pointer);
    for (const section of ['readings', 'observations', 'derived'] as const) {
      for (const [id, entry] of Object.entries(procedure[section] ?? {})) {
        for (const [number, one] of [entry.per ?? []].flat().entries()) {
          if (loops.has(one)) continue;
          const at = pointerTo(pointer, section, id, 'per', ...(Array.isArray(entry.per) ? [number] : []));
          yield { pointer: at, ...saysUnknown('loop over', one, loops) };
        }
      }
    }
  }
  yield* neverGiven(pack, loops);
}

/** Names that a loop or a performing procedure binds somewhere in the pack. */
function loopNames(pack: Pack): ReadonlySet<string> {
  const names = new Set(['bore']);
  for (const { node } of writtenNodes(pack)) if ('each' in node && 'of' in node) names.add(node.each);
  for (const procedure of Object.values(pack.procedures))
    for (const name of procedure.takes ?? []) names.add(name);
  return names;
}

function* unknownExports(procedure: Procedure, pointer: string): Generator<Finding> {
  const { readings = {}, observations = {}, derived = {} } = procedure;
  const declared = [readings, observations, derived].flatMap((section) => Object.keys(section));
  for (const [number, id] of (procedure.exports ?? []).entries()) {
    if (declared.includes(id)) continue;
    const says = saysUnknown('reading or derived value', id, declared);
    yield { pointer: pointerTo(pointer, 'exports', number), ...says };
  }
}

/** Values that a condition asks for and that no performing procedure gives: the condition is never true. */
function* neverGiven(pack: Pack, loops: ReadonlySet<string>): Generator<Finding> {
  const given = new Map<string, Set<string>>();
  for (const { node } of writtenNodes(pack)) {
    if (!('perform' in node)) continue;
    for (const [name, value] of Object.entries(node.given ?? {})) {
      const key = `${node.perform} ${name}`;
      given.set(key, (given.get(key) ?? new Set()).add(String(value)));
    }
  }
  for (const [procedure, { steps }] of Object.entries(pack.procedures)) {
    for (const [map, pointer] of mapsIn(steps, pointerTo('/procedures', procedure, 'steps'))) {
      if ('perform' in map || typeof map['given'] !== 'object') continue;
      for (const [name, value] of Object.entries(Object(map['given']))) {
        const values = given.get(`${procedure} ${name}`);
        const isKnown = (text: string): boolean =>
          !text.includes('{') && !loops.has(text.split('.')[0] ?? '');
        if (values === undefined || values.has(String(value)) || ![...values].every(isKnown)) continue;
        const { remedy } = saysUnknown('value', String(value), values);
        yield {
          pointer: pointerTo(pointer, 'given', name),
          message: `${name} is never given as ${value}.`,
          remedy: remedy.replace(/^Declared:/, 'It is'),
        };
      }
    }
  }
}
