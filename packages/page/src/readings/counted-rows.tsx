import type { ReadingsAgainst, ReadingsCounted } from '@ferrule/compare/document';
import { numberIn } from './number-in.ts';

const WIDTH = 200;
const HIGH = 22;

/** What some values come to, row by row beneath one another: numbers, and where they lie between the limits. */
export function CountedRows({
  title,
  against: { low, high },
  rows,
}: {
  readonly title: string;
  readonly against: ReadingsAgainst;
  readonly rows: readonly { readonly name: string; readonly counted: ReadingsCounted }[];
}) {
  const limits = [low, high].flatMap((one) => (one === undefined ? [] : [Number(one.number)]));
  const ends = rows.flatMap(({ counted }) => [numberIn(counted.lowest), numberIn(counted.highest)]);
  const all = [...limits, ...ends.flatMap((one) => one ?? [])];
  const from = Math.min(...all);
  const width = Math.max(...all) - from || 1;
  const x = (at: number): number => 6 + ((at - from) / width) * (WIDTH - 12);
  return (
    <div class="counted">
      <table>
        <caption>{title}</caption>
        <thead>
          <tr>
            <th scope="col">Of</th>
            <th scope="col">Mean, deviation, lowest and highest</th>
            <th scope="col">Values</th>
            <th scope="col">Not conforming</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ name, counted }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>
                <Lies counted={counted} limits={limits} x={x} />
                <span class="side-other">{inNumbers(counted)}</span>
              </td>
              <td>
                {counted.count}
                <span class="counted-word">{counted.count === 1 ? ' value' : ' values'}</span>
              </td>
              <td>
                {counted.nonconforming}
                <span class="counted-word"> not conforming</span>
                {counted.inconclusive === 0 ? '' : `, ${counted.inconclusive} inconclusive`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const inNumbers = ({ mean, deviation, lowest, highest }: ReadingsCounted): string =>
  [
    ...(mean === undefined ? [] : [`mean ${mean}`]),
    ...(deviation === undefined ? [] : [`deviation ${deviation}`]),
    ...(lowest === undefined || highest === undefined ? [] : [`${lowest} to ${highest}`]),
  ].join(', ');

/** A whisker from the lowest to the highest, a bar of one deviation to each side of the mean, and the limits as posts. */
function Lies({
  counted,
  limits,
  x,
}: {
  readonly counted: ReadingsCounted;
  readonly limits: readonly number[];
  readonly x: (at: number) => number;
}) {
  const [lowest, highest] = [numberIn(counted.lowest), numberIn(counted.highest)];
  const mean = numberIn(counted.mean);
  const deviation = numberIn(counted.deviation) ?? 0;
  if (lowest === undefined || highest === undefined || mean === undefined) return null;
  const [start, end] = [x(Math.max(lowest, mean - deviation)), x(Math.min(highest, mean + deviation))];
  return (
    <svg class="lies" viewBox={`0 0 ${WIDTH} ${HIGH}`} aria-hidden="true">
      <path class="lies-whisker" d={`M${x(lowest)} ${HIGH / 2}H${x(highest)}`} />
      <rect class="lies-deviation" x={start} y="5" width={Math.max(1, end - start)} height={HIGH - 10} />
      <circle class="lies-mean" cx={x(mean)} cy={HIGH / 2} r="4" />
      {limits.map((one) => (
        <path key={one} class="span-post" d={`M${x(one)} 1V${HIGH - 1}`} />
      ))}
    </svg>
  );
}
