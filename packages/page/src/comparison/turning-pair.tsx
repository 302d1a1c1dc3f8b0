import type { ComparedPlanPair, ComparedTurning } from '@ferrule/compare/document';

const WIDTH = 360;
const EDGE = 36;
const FOOT = 46;

/** How the crankshaft is turned in both revisions, each as hops along one scale of degrees, and then in words. */
export function TurningPair({
  pair: { variant, before, after, because },
  names: [older, newer],
}: {
  readonly pair: ComparedPlanPair;
  readonly names: readonly [older: string, newer: string];
}) {
  const most = Math.max(degrees(before?.total), degrees(after?.total), 360);
  return (
    <article class="change change-safety">
      <p class="change-says">{variant}</p>
      <ul class="because">
        {because.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      <div class="change-two">
        <Turning label={`Before, ${older}`} turning={before} most={most} />
        <Turning label={`Now, ${newer}`} turning={after} most={most} />
      </div>
    </article>
  );
}

function Turning({
  label,
  turning,
  most,
}: {
  readonly label: string;
  readonly turning: ComparedTurning | undefined;
  readonly most: number;
}) {
  if (turning === undefined)
    return (
      <div class="side">
        <p class="side-label">{label}</p>
        <p class="empty">no rotation is planned</p>
      </div>
    );
  const { direction, from, stops, total, leastMargin } = turning;
  return (
    <div class="side">
      <p class="side-label">{label}</p>
      <Hops turning={turning} most={most} />
      <ol class="turning-stops">
        <li>
          from {from}
          {direction === undefined ? '' : `, ${direction}`}
        </li>
        {stops.map(({ turn, at, bores, margin, heldBy }) => (
          <li key={`${turn} ${at} ${bores.join()}`}>
            by <b>{turn}</b> to <b>{at}</b>, {bores.length === 1 ? 'bore' : 'bores'} {bores.join(', ')}
            <span class="side-other">
              margin {margin}
              {heldBy === undefined ? '' : `, held by ${heldBy}`}
            </span>
          </li>
        ))}
        <li>
          {total} in all, least margin {leastMargin}
        </li>
      </ol>
    </div>
  );
}

function Hops({ turning: { stops }, most }: { readonly turning: ComparedTurning; readonly most: number }) {
  const x = (angle: number): number => EDGE + (angle / most) * (WIDTH - 2 * EDGE);
  let turned = 0;
  return (
    <svg class="hops" viewBox={`0 0 ${WIDTH} ${FOOT + 34}`} aria-hidden="true">
      <path class="hops-foot" d={`M0 ${FOOT}H${WIDTH}`} />
      <circle class="hops-start" cx={x(0)} cy={FOOT} r="5" />
      {stops.map(({ turn, at, bores }, index) => {
        const start = x(turned);
        turned += degrees(turn);
        const end = x(turned);
        const rise = Math.min(FOOT - 8, 10 + (end - start) / 3);
        return (
          <g key={turned}>
            <path
              class="hops-arc"
              d={`M${start} ${FOOT}C${start} ${FOOT - rise} ${end} ${FOOT - rise} ${end} ${FOOT}`}
            />
            <path class="hops-stop" d={`M${end} ${FOOT - 6}v12`} />
            <text class="hops-text" x={(start + end) / 2} y={FOOT - rise * 0.75 - 4}>
              {turn}
            </text>
            <text class="hops-text" x={end} y={FOOT + (index % 2 === 0 ? 18 : 30)}>
              {at}
              {bores.length === 0 ? '' : ` · ${bores.join(', ')}`}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** The number of degrees in `360°`. */
const degrees = (text = '0'): number => Number.parseFloat(text) || 0;
