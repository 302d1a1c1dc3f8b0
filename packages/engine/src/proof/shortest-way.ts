import type { Control, Signal } from '../job/index.ts';
import type { Plan } from '../model/plan.ts';
import { explore } from './explore.ts';
import { spellOut } from './way.ts';

/** A shortest way; that there is none; or that it is not known, since the search or the writing out of rounds was cut short. */
export type ShortestWay =
  | { readonly way: 'found'; readonly signals: readonly Signal[] }
  | { readonly way: 'none' }
  | { readonly way: 'unknown' };

/**
 * The shortest way to a place, as signals of a job from its start, among all the ways that the proof knows. `isThere` says of
 * a control whether it is the place; answered with a signal, that one is the last of the way.
 */
export function shortestWay(
  plan: Plan,
  isThere: (control: Control) => Signal | boolean,
  isOver: () => boolean = () => false,
): ShortestWay {
  let signals: readonly Signal[] | undefined;
  let isMet = false;
  const { cutShort } = explore(plan, {
    isOver: () => signals !== undefined || isOver(),
    onReach: (control, _, way) => {
      if (signals !== undefined) return;
      const there = isThere(control);
      if (there === false) return;
      isMet = true;
      const trace = way();
      const last = typeof there === 'object' ? [{ node: '', pointer: '', signal: there }] : [];
      signals = spellOut(plan, [...trace, ...last]);
    },
  });
  if (signals !== undefined) return { way: 'found', signals };
  return isMet || cutShort ? { way: 'unknown' } : { way: 'none' };
}
