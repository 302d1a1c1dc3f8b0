import { useId } from 'preact/hooks';

/** What became of a verdict, as far as a picture tells it apart, in the order in which it is drawn. */
const kinds = ['stays', 'better', 'open', 'worse', 'added', 'cannot', 'gone', 'unexplained'] as const;
type TallyKind = (typeof kinds)[number];

/** The kind of what a tally counts, and its place in the order. */
export function kindOfTally(what: string): { readonly kind: TallyKind; readonly order: number } {
  const kind = kindIn(what);
  return { kind, order: kinds.indexOf(kind) };
}

function kindIn(what: string): TallyKind {
  const [outcome] = what.split(' ');
  if (outcome === 'cannot' || outcome === 'gone' || outcome === 'added' || outcome === 'unexplained')
    return outcome;
  if (outcome !== 'changed') return 'stays';
  return what.endsWith('to nonconforming') ? 'worse' : what.endsWith('to conforming') ? 'better' : 'open';
}

const WIDTH = 600;
const HIGH = 26;
/** However few there are, they are seen. */
const LEAST = 4;

/** What became of all verdicts on one thing, as one bar in proportion. It is told in words below it. */
export function TallyBar({ tally }: { readonly tally: readonly (readonly [what: string, count: number])[] }) {
  const id = useId();
  const all = tally.reduce((sum, [, count]) => sum + count, 0);
  const wide = tally.map(([, count]) => Math.max(LEAST, (count / (all || 1)) * WIDTH));
  const scale = WIDTH / wide.reduce((sum, one) => sum + one, 0);
  let x = 0;
  return (
    <svg class="tally-bar" viewBox={`0 0 ${WIDTH} ${HIGH}`} preserveAspectRatio="none" aria-hidden="true">
      <Patterns id={id} />
      {tally.map(([what], at) => {
        const width = (wide[at] ?? 0) * scale;
        x += width;
        return <Part key={what} id={id} what={what} x={x - width} width={width} height={HIGH} />;
      })}
    </svg>
  );
}

/** The pattern of one of them, beside its words. */
export function TallyMark({ what }: { readonly what: string }) {
  const id = useId();
  return (
    <svg class="tally-mark" viewBox="0 0 20 14" aria-hidden="true">
      <Patterns id={id} />
      <Part id={id} what={what} x={0} width={20} height={14} />
    </svg>
  );
}

function Part({
  id,
  what,
  x,
  width,
  height,
}: {
  readonly id: string;
  readonly what: string;
  readonly x: number;
  readonly width: number;
  readonly height: number;
}) {
  const { kind } = kindOfTally(what);
  const pattern = { better: 'lines', open: 'dots', added: 'lines', cannot: 'dots' }[kind as string];
  return (
    <g class={`tally-${kind}`}>
      <rect class="tally-ground" x={x} width={width} height={height} />
      {pattern === undefined ? null : (
        <rect x={x} width={width} height={height} fill={`url(#${id}-${pattern})`} />
      )}
    </g>
  );
}

const Patterns = ({ id }: { readonly id: string }) => (
  <defs>
    <pattern
      id={`${id}-lines`}
      width="6"
      height="6"
      patternUnits="userSpaceOnUse"
      patternTransform="rotate(45)"
    >
      <path class="tally-line" d="M0 0V6" />
    </pattern>
    <pattern id={`${id}-dots`} width="6" height="6" patternUnits="userSpaceOnUse">
      <circle class="tally-dot" cx="3" cy="3" r="1.3" />
    </pattern>
  </defs>
);
