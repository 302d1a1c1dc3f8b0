import type { ComparedBehaviour, ComparisonDocument } from '@ferrule/compare/document';

/** What was found by running the newer revision, as it is read. */
export interface BehaviourGroup {
  readonly title: string;
  readonly items: readonly BehaviourItem[];
}

export interface BehaviourItem {
  readonly says: string;
  /** Numbered steps of a way, each with what happens there; or plain lines. */
  readonly lines: readonly BehaviourLine[];
}

export interface BehaviourLine {
  /** `12` or `1–11`; empty for a plain line. */
  readonly number: string;
  readonly says: string;
  readonly happens: readonly string[];
}

/** What jobs may come to, which trials come out otherwise, and how the crankshaft is turned; nothing where it was not looked at. */
export function behaviourGroups({ behaviour, changes }: ComparisonDocument): readonly BehaviourGroup[] {
  if (behaviour === undefined) return [];
  const { says, permits, trials, plans } = behaviour;
  return [
    { title: 'What it does otherwise', items: says.map((one) => ({ says: one, lines: [] })) },
    {
      title: 'What jobs may come to now',
      items: permits.map((one) => ({
        says: `${changes[one.change]?.says ?? ''} ${one.says}${whereOf(one)}`,
        lines: (one.way ?? []).map(({ from, until, says: what, happens }) => ({
          number: from === until ? String(from) : `${from}–${until}`,
          says: what,
          happens,
        })),
      })),
    },
    {
      title: 'Trials of the older revision that come out otherwise',
      items: trials.others.map(({ trial, procedure, variant, says: about, because }) => ({
        says: `${trial} (${procedure}, ${variant}): ${about}`,
        lines: because.map(plain),
      })),
    },
    {
      title: 'How the crankshaft is turned',
      items: plans.map(({ variant, before, after, because }) => ({
        says: variant,
        lines: [
          ...because.map(plain),
          plain(`Before: ${turningOf(before)}`),
          plain(`Now: ${turningOf(after)}`),
        ],
      })),
    },
  ].filter(({ items }) => items.length > 0);
}

const plain = (says: string): BehaviourLine => ({ number: '', says, happens: [] });

function whereOf({ found, procedure, variant, also = [] }: ComparedBehaviour['permits'][number]): string {
  if (found !== 'way' || procedure === undefined || variant === undefined) return '';
  const others = also.length === 0 ? '' : `; it is the same for ${also.join(', ')}`;
  return ` The way there in ${procedure} for ${variant}${others}:`;
}

function turningOf(turning: ComparedBehaviour['plans'][number]['before']): string {
  if (turning === undefined) return 'no rotation is planned.';
  const { direction, from, stops, total, leastMargin } = turning;
  const way = stops.map(
    ({ turn, at, bores, margin, heldBy }) =>
      `by ${turn} to ${at} (${bores.length === 1 ? 'bore' : 'bores'} ${bores.join(', ')}, margin ${margin}${heldBy === undefined ? '' : `, held by ${heldBy}`})`,
  );
  return `from ${from}${direction === undefined ? '' : `, ${direction}`}: ${way.join('; ')}. In all ${total}, least margin ${leastMargin}.`;
}
