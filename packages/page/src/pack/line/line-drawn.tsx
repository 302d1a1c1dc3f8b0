import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { counted } from '../counted.ts';
import type { FaultTold, ProvenVariant } from '../examination.ts';
import type { Stop } from './stops-of.ts';
import { type Point, strokesOf } from './strokes-of.ts';

/**
 * The stops of a procedure as a list that is read from the top down, and the line that runs through them drawn behind it: where
 * each stop has come to stand is measured, so the line fits any width and any size of letters.
 */
export function LineDrawn({
  stops,
  proven,
  faults,
}: {
  readonly stops: readonly Stop[];
  readonly proven: ProvenVariant;
  readonly faults: readonly FaultTold[];
}) {
  const frame = useRef<HTMLDivElement>(null);
  const [points, setPoints] = useState<ReadonlyMap<string, Point>>(new Map());
  useLayoutEffect(() => {
    const { current } = frame;
    if (current === null) return undefined;
    const watching = new ResizeObserver(() => setPoints(pointsIn(current)));
    watching.observe(current);
    return () => watching.disconnect();
  }, []);
  return (
    <figure class="line">
      <div class="line-frame" ref={frame}>
        <svg class="line-strokes" aria-hidden="true">
          {strokesOf(stops, points).map(({ kind, path }, index) => (
            <path key={index} class={`stroke stroke-${kind}`} d={path} />
          ))}
        </svg>
        <Stops stops={stops} proven={proven} faults={faults} />
      </div>
      <figcaption>
        The line is read from the top down. What stands beside it is inside of a part, taken in a case, or
        done when a result does not conform; a dashed line leads back. A double ring is a hold. States are
        those that the proof has told apart there.
      </figcaption>
    </figure>
  );
}

function pointsIn(frame: HTMLElement): ReadonlyMap<string, Point> {
  const from = frame.getBoundingClientRect();
  return new Map(
    [...frame.querySelectorAll<HTMLElement>('.station')].map((one) => {
      const at = one.getBoundingClientRect();
      return [
        one.dataset['stop'] ?? '',
        { x: at.left - from.left + at.width / 2, y: at.top - from.top + at.height / 2 },
      ];
    }),
  );
}

interface Told {
  readonly proven: ProvenVariant;
  readonly faults: readonly FaultTold[];
}

const Stops = ({ stops, ...told }: Told & { readonly stops: readonly Stop[] }) => (
  <ol class="stops">
    {stops.map((stop) => (
      <StopShown key={stop.key} stop={stop} {...told} />
    ))}
  </ol>
);

function StopShown({ stop, ...told }: Told & { readonly stop: Stop }) {
  const { proven, faults } = told;
  const beside = 'beside' in stop ? stop.beside : [];
  const isStep = stop.stop === 'step';
  const isFaulty = isStep && faults.some(({ node }) => node !== undefined && stop.paths.includes(node));
  const isUnreached =
    isStep && stop.paths.length > 0 && stop.paths.every((path) => proven.unreached.includes(path));
  const marked = `${isFaulty ? ' stop-faulty' : ''}${isUnreached ? ' stop-unreached' : ''}`;
  const states = isStep ? proven.statesAt[stop.pointer] : undefined;
  return (
    <li class={`stop stop-${stop.stop}${marked}`}>
      <span class="station" data-stop={stop.key}>
        {isStep ? stop.number : null}
      </span>
      <div class="stop-text">
        <p class="stop-says">{stop.says}</p>
        {isStep && stop.onlyIf !== '' ? <p class="stop-more">only if {stop.onlyIf}</p> : null}
        {isStep ? (
          <p class="stop-more">
            {[stop.phases.join(' → '), states === undefined ? '' : counted(states, 'state', 'states')]
              .filter((one) => one !== '')
              .join(' · ')}
          </p>
        ) : null}
        {isStep && stop.laws.length > 0 ? <p class="stop-more">held by {stop.laws.join(', ')}</p> : null}
        {stop.stop === 'hold' && stop.releases !== '' ? (
          <p class="stop-more">released by {stop.releases}</p>
        ) : null}
        {isFaulty ? <p class="stop-alarm">Here it can go wrong.</p> : null}
        {isUnreached ? <p class="stop-more">No way comes here.</p> : null}
      </div>
      {beside.length === 0 ? null : <Stops stops={beside} {...told} />}
    </li>
  );
}
