import { nearest, type Pack, type Procedure, pointerTo, saysUnknown } from '@ferrule/engine';
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

interface Asked {
  readonly value: string;
  readonly pointer: string;
}

/**
 * Values that a condition asks for and that no performing procedure gives: the condition is never true. Where a value is
 * given that no condition asks for, and that is written nearly so, that one was mistyped, unless a state of the pack can
 * be so and none can be as the condition asks.
 */
function* neverGiven(pack: Pack, loops: ReadonlySet<string>): Generator<Finding> {
  const given = new Map<string, Asked[]>();
  for (const { node, pointer } of writtenNodes(pack)) {
    if (!('perform' in node)) continue;
    for (const [name, value] of Object.entries(node.given ?? {}))
      put(given, `${node.perform} ${name}`, {
        value: String(value),
        pointer: pointerTo(pointer, 'given', name),
      });
  }
  const asked = new Map<string, Asked[]>();
  for (const [procedure, { steps }] of Object.entries(pack.procedures)) {
    for (const [map, pointer] of mapsIn(steps, pointerTo('/procedures', procedure, 'steps'))) {
      if ('perform' in map || typeof map['given'] !== 'object') continue;
      for (const [name, value] of Object.entries(Object(map['given'])))
        put(asked, `${procedure} ${name}`, {
          value: String(value),
          pointer: pointerTo(pointer, 'given', name),
        });
    }
  }
  const stateValues = new Set(Object.values(pack.states ?? {}).flatMap((state) => state.is));
  const isKnown = ({ value }: Asked): boolean =>
    !value.includes('{') && !loops.has(value.split('.')[0] ?? '');
  for (const [key, places] of asked) {
    const gives = given.get(key);
    if (gives === undefined || !gives.every(isKnown)) continue;
    const [procedure = '', name = ''] = key.split(' ');
    const isAsked = (value: string): boolean => places.some((one) => one.value === value);
    const unmet = places.filter(({ value }) => !gives.some((one) => one.value === value));
    const doubtful = [...new Set(unmet.map(({ value }) => value))];
    const mistyped = gives.flatMap((one) => {
      const candidates = stateValues.has(one.value)
        ? doubtful.filter((two) => stateValues.has(two))
        : doubtful;
      const meant = isAsked(one.value) ? undefined : nearest(one.value, candidates);
      return meant === undefined ? [] : [{ ...one, meant }];
    });
    for (const { value, pointer, meant } of mistyped)
      yield {
        pointer,
        message: `${procedure} asks whether ${name} is ${meant}, and never whether it is ${value}.`,
        remedy: `Did you mean ${meant}?`,
        other: unmet
          .filter((one) => one.value === meant)
          .map((one) => ({ pointer: one.pointer, message: 'where it asks' })),
      };
    for (const { value, pointer } of unmet) {
      if (mistyped.some(({ meant }) => meant === value)) continue;
      const { remedy } = saysUnknown('value', value, new Set(gives.map((one) => one.value)));
      yield {
        pointer,
        message: `${name} is never given as ${value}.`,
        remedy: remedy.replace(/^Declared:/, 'It is'),
      };
    }
  }
}

function put(lists: Map<string, Asked[]>, key: string, item: Asked): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [item]);
  else list.push(item);
}
