import type { Exploration, Refutation } from '@ferrule/engine/proof';

/** What the proof shows or refutes, in the order in which it is told. */
export const guarantees = {
  allowed: 'No step is done while a law, what it requires or the states that it starts from forbid it.',
  'goes-on': 'From every place something leads on, or the job stands at a hold.',
  'one-case': 'Of the cases of a choice exactly one is true.',
  judged:
    'Every reading that has limits is held against them before anything relies on it, and before the end.',
  ends: 'Whatever was fitted, loosened, opened or removed is in the end as the pack declares.',
  'comes-to-the-end': 'The end can be reached.',
  'every-step': 'Every step is reached for some engine.',
  'can-be-left': 'A job can be left for later where the procedure says so.',
} as const satisfies Readonly<Record<string, string>>;

export type Guarantee = keyof typeof guarantees;

/** `as-far-as-seen`: nothing speaks against it, but a fault hides what lies behind it, or the proof was cut short. */
export type Standing = 'holds' | 'refuted' | 'as-far-as-seen';

/** The guarantee that each property of the proof is. */
export const guaranteeOf = {
  law: 'allowed',
  'goes-on': 'goes-on',
  'one-case': 'one-case',
  judged: 'judged',
  ends: 'ends',
} as const satisfies Readonly<Record<Refutation['property'], Guarantee>>;

/** How a guarantee stands after an exploration. `isLost`: steps that ways should lead to are reached in no variant. */
export function standingOf(guarantee: Guarantee, exploration: Exploration, isLost: boolean): Standing {
  const { refutations, reachesEnd, canPark, cutShort } = exploration;
  if (refutations.some(({ property }) => guaranteeOf[property] === guarantee)) return 'refuted';
  const isHidden = refutations.length > 0 || cutShort;
  switch (guarantee) {
    case 'comes-to-the-end':
      return reachesEnd ? 'holds' : isHidden ? 'as-far-as-seen' : 'refuted';
    case 'can-be-left':
      return canPark ? 'holds' : isHidden ? 'as-far-as-seen' : 'refuted';
    case 'every-step':
      return isLost ? 'refuted' : isHidden ? 'as-far-as-seen' : 'holds';
    default:
      return isHidden ? 'as-far-as-seen' : 'holds';
  }
}
