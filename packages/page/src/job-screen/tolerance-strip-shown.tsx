import type { ToleranceStrip } from '@ferrule/print';

const WIDTH = 320;
const EDGE = 14;

/** A reading between its limits: posts for the tolerance, a darker field for what the rule accepts, a whisker for the uncertainty. */
export function ToleranceStripShown({ strip }: { readonly strip: ToleranceStrip }) {
  const { low, high, accepted, value, spread = 0 } = strip;
  // Of a count there is nothing between the limits to look at.
  if (low !== undefined && low.at === high?.at) return null;
  const ends = [low, high].flatMap((one) => one?.at ?? []);
  const width =
    low !== undefined && high !== undefined ? high.at - low.at : Math.max(...ends.map(Math.abs), 1e-9);
  const from = Math.max(Math.min(...ends, value.at - spread), Math.min(...ends) - 2 * width) - 0.12 * width;
  const to = Math.min(Math.max(...ends, value.at + spread), Math.max(...ends) + 2 * width) + 0.12 * width;
  const x = (at: number): number =>
    EDGE + ((Math.min(to, Math.max(from, at)) - from) / (to - from || 1)) * (WIDTH - 2 * EDGE);
  const start = x(low?.at ?? from);
  const end = x(high?.at ?? to);
  const words = [
    ...(low === undefined ? [] : [`lower limit ${low.text}`]),
    ...(high === undefined ? [] : [`upper limit ${high.text}`]),
    `value ${value.text}`,
  ].join(', ');
  const innerFrom = x(accepted?.low ?? low?.at ?? from);
  const innerTo = x(accepted?.high ?? high?.at ?? to);
  return (
    <svg class="strip" viewBox={`0 0 ${WIDTH} 52`} role="img" aria-label={words}>
      <path class="scale" d={`M${EDGE} 20H${WIDTH - EDGE}`} />
      <rect class="between" x={start} y="10" width={Math.max(0, end - start)} height="20" />
      {accepted === undefined || innerTo <= innerFrom ? null : (
        <rect class="accepted" x={innerFrom} y="10" width={innerTo - innerFrom} height="20" />
      )}
      {[low, high].map((one) =>
        one === undefined ? null : (
          <g key={one.text}>
            <path class="post" d={`M${x(one.at)} 5v30`} />
            <text
              class="post-text"
              x={x(one.at)}
              y="48"
              text-anchor={one === low ? 'start' : 'end'}
              dx={one === low ? -10 : 10}
            >
              {one.text}
            </text>
          </g>
        ),
      )}
      {spread === 0 ? null : (
        <path class="whisker" d={`M${x(value.at - spread)} 15v10m0 -5H${x(value.at + spread)}m0 -5v10`} />
      )}
      <circle class="ball" cx={x(value.at)} cy="20" r="6" />
    </svg>
  );
}
