import { type Pack, pointerTo, type written } from '@ferrule/engine';

/** A hold as a step names it: of the procedure, or shared; undefined where neither has it. */
export function holdNamed(
  pack: Pack,
  procedure: string | undefined,
  id: string,
): { readonly hold: written.Hold; readonly pointer: string } | undefined {
  const own = procedure === undefined ? {} : (pack.procedures[procedure]?.holds ?? {});
  const from = Object.hasOwn(own, id) ? own : (pack.holds ?? {});
  const hold = Object.hasOwn(from, id) ? from[id] : undefined;
  if (hold === undefined) return undefined;
  const base = from === own ? pointerTo('/procedures', procedure ?? '', 'holds') : '/holds';
  return { hold, pointer: pointerTo(base, id) };
}
