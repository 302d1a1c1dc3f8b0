import type { ComparedLimitPair, ComparedSpan } from '@ferrule/compare/document';
import { useId } from 'preact/hooks';

const WIDTH = 360;
const EDGE = 42;
const HIGH = 18;
const TOP = { before: 22, after: 52 } as const;

/** What was permitted above what is permitted now, on one scale. Where one reaches further than the other, that part is hatched. */
export function SpansShown({
  pair: { before, after, variants },
  names: [older, newer],
  isOfAll,
}: {
  readonly pair: ComparedLimitPair;
  readonly names: readonly [older: string, newer: string];
  readonly isOfAll: boolean;
}) {
  const hatch = useId();
  const ends = [before.low, before.high, after.low, after.high].flatMap((one) => one?.at ?? []);
  const from = Math.min(...ends);
  const width = Math.max(...ends) - from;
  if (isSame(before, after) || width === 0) return null;
  const x = (at: number): number => EDGE * 2 + ((at - from) / width) * (WIDTH - 4 * EDGE);
  const left = (span: ComparedSpan): number => (span.low === undefined ? 0 : x(span.low.at));
  const right = (span: ComparedSpan): number => (span.high === undefined ? WIDTH : x(span.high.at));
  const bar = (side: 'before' | 'after', span: ComparedSpan, other: ComparedSpan) => {
    const y = TOP[side];
    const [start, end] = [left(span), right(span)];
    return (
      <g class={`span-${side}`}>
        <rect class="span-bar" x={start} y={y} width={end - start} height={HIGH} />
        {beyond(start, end, left(other), right(other)).map(([a, b]) => (
          <rect key={a} x={a} y={y} width={b - a} height={HIGH} fill={`url(#${hatch})`} />
        ))}
        {[span.low, span.high].map((one) =>
          one === undefined ? null : (
            <path key={one.at} class="span-post" d={`M${x(one.at)} ${y - 4}v${HIGH + 8}`} />
          ),
        )}
        <Label
          one={span.low}
          x={start}
          y={side === 'before' ? y - 9 : y + HIGH + 16}
          isLow={true}
          alone={span.high === undefined}
        />
        <Label
          one={span.high}
          x={end}
          y={side === 'before' ? y - 9 : y + HIGH + 16}
          isLow={false}
          alone={span.low === undefined}
        />
      </g>
    );
  };
  return (
    <figure class="spans">
      {isOfAll ? null : <figcaption>{variants.join(', ')}</figcaption>}
      <svg
        viewBox={`0 0 ${WIDTH} 92`}
        role="img"
        aria-label={`${older} permitted ${inWords(before)}; ${newer} permits ${inWords(after)}`}
      >
        <pattern id={hatch} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path class="span-hatch" d="M0 0V6" />
        </pattern>
        {bar('before', before, after)}
        {bar('after', after, before)}
      </svg>
      <p class="spans-legend">
        above {older}, below {newer}; hatched: permitted by one of the two alone
      </p>
    </figure>
  );
}

/** The parts of a stretch that lie outside of another one. */
const beyond = (
  start: number,
  end: number,
  otherStart: number,
  otherEnd: number,
): readonly (readonly [number, number])[] =>
  [[start, Math.min(end, otherStart)] as const, [Math.max(start, otherEnd), end] as const].filter(
    ([a, b]) => b > a,
  );

function Label({
  one,
  x,
  y,
  isLow,
  alone,
}: {
  readonly one: ComparedSpan['low'];
  readonly x: number;
  readonly y: number;
  readonly isLow: boolean;
  readonly alone: boolean;
}) {
  if (one === undefined) return null;
  return (
    <text
      class="span-text"
      x={x}
      y={y}
      text-anchor={alone ? 'middle' : isLow ? 'end' : 'start'}
      dx={alone ? 0 : isLow ? 12 : -12}
    >
      {one.says.replace(/^-/, '−')}
    </text>
  );
}

const isSame = (a: ComparedSpan, b: ComparedSpan): boolean =>
  a.low?.at === b.low?.at && a.high?.at === b.high?.at;

function inWords({ low, high }: ComparedSpan): string {
  if (low === undefined) return `at most ${high?.says ?? ''}`;
  return high === undefined ? `at least ${low.says}` : `${low.says} to ${high.says}`;
}
