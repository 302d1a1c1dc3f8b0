import type { RejudgedHeldAgainst, RejudgedSpread } from '@ferrule/compare/document';
import { BinsShown, type Post } from '../readings/bins-shown.tsx';
import { numberIn } from '../readings/number-in.ts';

/** How the values of all jobs lie against the older limits, drawn broken, and against the newer ones. */
export function SpreadShown({
  spread: { values, mean, edges, bins, older, newer },
  revisions: [then, now],
}: {
  readonly spread: RejudgedSpread;
  readonly revisions: readonly [then: string, now: string];
}) {
  if (edges.length < 2) return null;
  const words = [
    `${values} ${values === 1 ? 'value' : 'values'}, mean ${mean}`,
    ...(older === undefined ? [] : [`by ${then} ${sides(older)}`]),
    ...(newer === undefined ? [] : [`by ${now} ${sides(newer)}`]),
  ].join('; ');
  return (
    <BinsShown
      edges={edges.map((one) => numberIn(one) ?? 0)}
      counts={bins}
      posts={[...postsOf(older, true), ...postsOf(newer, false)]}
      words={words}
    />
  );
}

const sides = ({ below, inside, above }: RejudgedHeldAgainst): string =>
  `${below} below, ${inside} inside, ${above} above`;

function postsOf(limits: RejudgedHeldAgainst | undefined, isOlder: boolean): readonly Post[] {
  return ([limits?.low, limits?.high] as const).flatMap((text, side) => {
    const at = numberIn(text);
    return at === undefined || text === undefined ? [] : [{ at, text, isLow: side === 0, isOlder }];
  });
}
