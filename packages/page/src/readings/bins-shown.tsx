const WIDTH = 380;
const HIGH = 120;
const SIDE = 46;
const TAIL = 16;

/** A limit on the scale; an older one is drawn broken, and its words stand above. */
export interface Post {
  readonly at: number;
  readonly text: string;
  readonly isLow: boolean;
  readonly isOlder?: boolean;
}

/** How many values lie where, as bars above a scale on which the limits stand. `counts` has one more than there are edges. */
export function BinsShown({
  edges,
  counts,
  posts,
  words,
}: {
  readonly edges: readonly number[];
  readonly counts: readonly number[];
  readonly posts: readonly Post[];
  readonly words: string;
}) {
  // Words of older limits stand above the bars.
  const top = posts.some(({ isOlder }) => isOlder) ? 34 : 18;
  const [first = 0] = edges;
  const last = edges.at(-1) ?? 1;
  const x = (at: number): number => SIDE + ((at - first) / (last - first || 1)) * (WIDTH - 2 * SIDE);
  const most = Math.max(1, ...counts);
  const foot = top + HIGH;
  const bars = counts.map((count, at) => {
    const [before, behind] = [edges[at - 1], edges[at]];
    const start = before === undefined ? x(first) - 8 - TAIL : behind === undefined ? x(last) + 8 : x(before);
    const end = before === undefined ? x(first) - 8 : behind === undefined ? x(last) + 8 + TAIL : x(behind);
    return { count, start, end, rise: count === 0 ? 0 : Math.max(2, (count / most) * HIGH) };
  });
  return (
    <figure class="bins">
      <svg viewBox={`0 0 ${WIDTH} ${foot + 24}`} role="img" aria-label={words}>
        {bars.map(({ count, start, end, rise }) =>
          count === 0 ? null : (
            <rect
              key={start}
              class="bin"
              x={start + 0.5}
              y={foot - rise}
              width={end - start - 1}
              height={rise}
            />
          ),
        )}
        <path class="bins-foot" d={`M0 ${foot}H${WIDTH}`} />
        {posts.map(({ at, text, isLow, isOlder = false }) => (
          <g key={`${text} ${isLow} ${isOlder}`} class={isOlder ? 'post-older' : undefined}>
            <path class="span-post" d={`M${x(at)} ${isOlder ? top - 14 : top - 6}V${foot + 6}`} />
            <text
              class="span-text"
              x={x(at)}
              y={isOlder ? top - 20 : foot + 20}
              text-anchor={isLow ? 'end' : 'start'}
              dx={isLow ? 14 : -14}
            >
              {text}
            </text>
          </g>
        ))}
      </svg>
      <figcaption class="spans-legend">
        {words}; the highest column is {most} {most === 1 ? 'value' : 'values'}
      </figcaption>
    </figure>
  );
}
