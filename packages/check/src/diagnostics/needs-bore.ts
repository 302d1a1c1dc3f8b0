import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { wordsOf } from '../name-words.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const needsBore: DiagnosticKind = {
  code: 'needs-bore',
  severity: 'error',
  says: 'Something that there is once in each bore is named where no bore is meant.',
  marks: 'value',
  when: 'written',
  examine: withoutBore,
};

function* withoutBore({ pack }: Subject): Generator<Finding> {
  for (const [name, { readings = {}, observations = {}, derived = {} }] of Object.entries(pack.procedures)) {
    const declared = { ...readings, ...observations, ...derived };
    for (const [id, { per, is }] of Object.entries(derived)) {
      if (per !== undefined) continue;
      const own = namesOutsideQuantifiers(is).find((one) => declared[one]?.per !== undefined);
      if (own === undefined) continue;
      yield {
        pointer: pointerTo('/procedures', name, 'derived', id, 'is'),
        message: `${own} is taken per bore, and ${id} is one value for all of them.`,
        remedy: `Add per: bore to ${id}, or quantify it: {every-bore: ${own}}.`,
        other: [{ pointer: pointerTo('/procedures', name, 'derived', id), message: id }],
      };
    }
  }
  yield* statesLikeOthers(pack);
}

/** The names in a calculation that stand for one bore each: not those of every bore, nor of a bore that is named. */
function namesOutsideQuantifiers(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inside]) =>
    key === 'every-bore' ? [] : namesOutsideQuantifiers(inside),
  );
}

/** A state for the whole engine beside one that is like it in everything, and that there is once per bore. */
function* statesLikeOthers({ states = {} }: Pack): Generator<Finding> {
  const like = (state: written.State): string => JSON.stringify([state.is, state.starts, state.ends]);
  for (const [id, state] of Object.entries(states)) {
    if (state.per !== undefined) continue;
    const words = wordsOf(id);
    const twin = Object.entries(states).find(
      ([other, one]) =>
        one.per !== undefined &&
        like(one) === like(state) &&
        wordsOf(other).at(-1) === words.at(-1) &&
        wordsOf(other).length === words.length,
    );
    if (twin === undefined) continue;
    yield {
      severity: 'warning',
      pointer: pointerTo('/states', id),
      marks: 'key',
      message: `There is one ${id} for the whole engine, and one ${twin[0]}, which is like it, in each bore.`,
      remedy: 'Add per: bore.',
      other: [{ pointer: pointerTo('/states', twin[0]), message: twin[0] }],
    };
  }
}
