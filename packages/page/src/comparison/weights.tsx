import type { ComparedChange } from '@ferrule/compare/document';

/** Under what a change is read: what protects less first, then by weight, and trials, which are no work, last. */
export const shelves = ['weaker', 'safety', 'conformity', 'work', 'wording', 'trial'] as const;
export type Shelf = (typeof shelves)[number];

export function shelfOf({ kind, effect, weight }: ComparedChange): Shelf {
  if (kind === 'trial') return 'trial';
  return effect === 'weaker' ? 'weaker' : weight;
}

/** How many bars the mark of a shelf has: the heavier, the more. */
const bars: Readonly<Record<Shelf, number>> = {
  ...{ weaker: 4, safety: 4, conformity: 3, work: 2, wording: 1 },
  trial: 0,
};

/** The weight of a change as a stack of bars, so that it needs no colour; what protects less has a gap in it. */
export function WeightMark({ shelf }: { readonly shelf: Shelf | 'all' }) {
  if (shelf === 'all') return null;
  return (
    <svg class="weight-mark" viewBox="0 0 20 20" aria-hidden="true">
      {Array.from({ length: 4 }, (_, bar) => (
        <path
          key={bar}
          class={bar < bars[shelf] ? 'weight-bar' : 'weight-bar-none'}
          d={shelf === 'weaker' ? `M2 ${17 - bar * 4.6}h5m6 0h5` : `M2 ${17 - bar * 4.6}h16`}
        />
      ))}
    </svg>
  );
}
