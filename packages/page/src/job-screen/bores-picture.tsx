import { symbol, symbolCircle, symbolDiamond, symbolSquare, symbolTriangle } from 'd3-shape';
import { type AcrossBores, type When, whens } from './across-bores.ts';
import { fewDigits } from './few-digits.ts';
import { VerdictMark } from './verdict-mark.tsx';

const whenWords: Readonly<Record<When, string>> = {
  'as-received': 'as received',
  baseline: 'baseline',
  once: 'during the work',
  'as-left': 'as left',
};

/** Each time has a shape of its own, so that it is known without colour. */
const shapes: Readonly<Record<When, ReturnType<typeof symbol>>> = {
  'as-received': symbol(symbolCircle, 70),
  baseline: symbol(symbolTriangle, 60),
  once: symbol(symbolSquare, 60),
  'as-left': symbol(symbolDiamond, 70),
};

const WIDTH = 340;
const HIGH = 150;
const TOP = 14;
const LEFT = 62;
const RIGHT = 12;
const FOOT = TOP + HIGH;

/** One quantity over the bores, front to rear: a column for each, its limits as a field, and in it what was measured and when. */
export function BoresPicture({ across }: { readonly across: AcrossBores }) {
  const { title, bores } = across;
  const used = whens.filter((when) => bores.some(({ values }) => when in values));
  const { from, to } = reachOf(across);
  const y = (at: number): number => FOOT - ((at - from) / (to - from)) * HIGH;
  const step = (WIDTH - LEFT - RIGHT) / bores.length;
  const width = Math.min(46, step - 6);
  const [common] = bores.map(({ limits }) => limits);
  const isCommon = bores.every(
    ({ limits }) => limits.low?.text === common?.low?.text && limits.high?.text === common?.high?.text,
  );
  return (
    <figure class="across">
      <figcaption>{title}</figcaption>
      <svg viewBox={`0 0 ${WIDTH} ${FOOT + 26}`} role="img" aria-label={saysAcross(across)}>
        <path class="scale" d={`M${LEFT} ${FOOT}H${WIDTH - RIGHT}`} />
        {axisMarks(across, isCommon).map(({ at, text }, index, all) => (
          <text
            key={text}
            class="limit-text"
            x={LEFT - 6}
            y={y(at) + (index === 0 && all.length > 1 && y(at) - y(all[1]?.at ?? at) < 12 ? 10 : 3)}
            text-anchor="end"
          >
            {text}
          </text>
        ))}
        {bores.map(({ bore, values, limits }, index) => {
          const x = LEFT + (index + 0.5) * step;
          const low = limits.low === undefined ? FOOT : y(limits.low.at);
          const high = limits.high === undefined ? TOP : y(limits.high.at);
          const shown = used.flatMap((when) => {
            const value = values[when];
            return value === undefined ? [] : [{ when, value }];
          });
          const at = (place: number): number =>
            x + (place - (shown.length - 1) / 2) * Math.min(14, width / 3);
          return (
            <g key={bore}>
              {limits.low === undefined && limits.high === undefined ? null : (
                <rect
                  class="between"
                  x={x - width / 2}
                  y={high}
                  width={width}
                  height={Math.max(0, low - high)}
                />
              )}
              {[limits.low, limits.high].map((limit) =>
                limit === undefined ? null : (
                  <path key={limit.text} class="post" d={`M${x - width / 2} ${y(limit.at)}h${width}`} />
                ),
              )}
              {shown.length < 2 ? null : (
                <path
                  class="change"
                  d={`M${shown.map(({ value }, place) => `${at(place)} ${y(value.at)}`).join('L')}`}
                />
              )}
              {shown.map(({ when, value }, place) => (
                <g key={when} transform={`translate(${at(place)} ${y(value.at)})`}>
                  {value.spread === undefined ? null : (
                    <path
                      class="whisker"
                      d={`M-3 ${y(value.at + value.spread) - y(value.at)}h6m-3 0V${y(value.at - value.spread) - y(value.at)}m-3 0h6`}
                    />
                  )}
                  <path class={`mark mark-${when}`} d={shapes[when]() ?? ''} />
                  {value.verdict === 'nonconforming' ? <path class="bar" d="M-7 7L7 -7" /> : null}
                </g>
              ))}
              <text class="bore-text" x={x} y={FOOT + 18} text-anchor="middle">
                {bore}
              </text>
            </g>
          );
        })}
      </svg>
      <table class="readings">
        <thead>
          <tr>
            <th scope="col">Bore</th>
            {used.map((when) => (
              <th key={when} scope="col">
                <svg viewBox="-8 -8 16 16" class="key" aria-hidden="true">
                  <path class={`mark mark-${when}`} d={shapes[when]() ?? ''} />
                </svg>
                {whenWords[when]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {bores.map(({ bore, values, limits }) => (
            <tr key={bore}>
              <th scope="row">
                {bore}
                {isCommon ? '' : ` (${limitWords(limits)})`}
              </th>
              {used.map((when) => {
                const value = values[when];
                return (
                  <td key={when}>
                    {fewDigits(value?.text ?? '')}
                    {value?.verdict === undefined || value.verdict === 'conforming' ? null : (
                      <VerdictMark verdict={value.verdict} />
                    )}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
      {isCommon && common !== undefined && limitWords(common) !== '' ? (
        <p class="entry-hint">Limits: {limitWords(common)}</p>
      ) : null}
    </figure>
  );
}

/** What stands beside the axis, the lower first: the limits where all bores have the same, otherwise the lowest and the highest value. */
function axisMarks(
  { bores }: AcrossBores,
  isCommon: boolean,
): readonly { readonly at: number; readonly text: string }[] {
  const [common] = bores.map(({ limits }) => limits);
  const limits = isCommon ? [common?.low, common?.high].flatMap((one) => one ?? []) : [];
  if (limits.length > 0) return limits;
  const values = bores.flatMap((one) => Object.values(one.values)).sort((a, b) => a.at - b.at);
  const ends = [values[0], values.at(-1)].flatMap((one) => one ?? []);
  return ends[0]?.at === ends[1]?.at
    ? ends.slice(0, 1)
    : ends.map(({ at, text }) => ({ at, text: fewDigits(text) }));
}

function limitWords({ low, high }: AcrossBores['bores'][number]['limits']): string {
  if (low === undefined) return high === undefined ? '' : `at most ${high.text}`;
  return high === undefined ? `at least ${low.text}` : `${low.text} to ${high.text}`;
}

/** From the lowest to the highest of values, limits and uncertainties, with some room. */
function reachOf({ bores }: AcrossBores): { readonly from: number; readonly to: number } {
  const places = bores.flatMap(({ values, limits }) => [
    ...[limits.low, limits.high].flatMap((one) => one?.at ?? []),
    ...Object.values(values).flatMap(({ at, spread = 0 }) => [at - spread, at + spread]),
  ]);
  const low = Math.min(...places);
  const high = Math.max(...places);
  const room = (high - low || Math.abs(high) || 1) * 0.1;
  return { from: low - room, to: high + room };
}

/** All that the picture shows, in words. */
function saysAcross({ title, bores }: AcrossBores): string {
  const said = bores.map(({ bore, values, limits }) => {
    const all = whens.flatMap((when) => {
      const value = values[when];
      if (value === undefined) return [];
      const verdict = value.verdict === undefined ? '' : `, ${value.verdict}`;
      return [`${when === 'once' ? '' : `${whenWords[when]} `}${fewDigits(value.text)}${verdict}`];
    });
    const within = limitWords(limits);
    return `bore ${bore}: ${all.join('; ')}${within === '' ? '' : ` (limits ${within})`}`;
  });
  return `${title}. ${said.join('. ')}.`;
}
