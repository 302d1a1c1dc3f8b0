import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
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
  sought,
  ...told
}: {
  readonly stops: readonly Stop[];
  readonly proven: ProvenVariant;
  readonly faults: readonly FaultTold[];
  readonly wayTo: (fault: FaultTold) => string;
  /** The path of the step that somebody comes to see: it is brought into sight. */
  readonly sought: string | undefined;
}) {
  const frame = useRef<HTMLDivElement>(null);
  const [points, setPoints] = useState<ReadonlyMap<string, Point>>(new Map());
  const isLong = stepsIn(stops).length > MOST_AT_ONCE;
  useLayoutEffect(() => {
    const { current } = frame;
    if (current === null) return undefined;
    const watching = new ResizeObserver(() => setPoints(pointsIn(current)));
    watching.observe(current);
    return () => watching.disconnect();
  }, []);
  useEffect(() => {
    const key = allOf(stops).find(
      (stop) => 'paths' in stop && sought !== undefined && stop.paths.includes(sought),
    )?.key;
    frame.current?.querySelector(`[data-stop="${key}"]`)?.scrollIntoView({ block: 'center' });
  }, [stops, sought]);
  return (
    <figure class="line-drawing">
      <div class="line-frame" ref={frame}>
        <svg class="line-strokes" aria-hidden="true">
          {strokesOf(stops, points).map(({ kind, path }, index) => (
            <path key={index} class={`stroke stroke-${kind}`} d={path} />
          ))}
        </svg>
        <Stops stops={stops} {...told} areClosed={isLong} />
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
    [...frame.querySelectorAll<HTMLElement>('.station')].flatMap((one) => {
      const at = one.getBoundingClientRect();
      const point = { x: at.left - from.left + at.width / 2, y: at.top - from.top + at.height / 2 };
      // What is inside of a part that is closed stands nowhere.
      return one.closest('details:not([open])') !== null ? [] : [[one.dataset['stop'] ?? '', point] as const];
    }),
  );
}

interface Told {
  readonly proven: ProvenVariant;
  readonly faults: readonly FaultTold[];
  readonly wayTo: (fault: FaultTold) => string;
  /** Parts are closed at first, so that a long procedure is seen as a whole; one in which something goes wrong is not. */
  readonly areClosed: boolean;
}

/** Steps that are shown at once, without parts being closed. */
const MOST_AT_ONCE = 40;

type Step = Extract<Stop, { stop: 'step' }>;

const allOf = (stops: readonly Stop[]): readonly Stop[] =>
  stops.flatMap((stop) => [stop, ...('beside' in stop ? allOf(stop.beside) : [])]);

const stepsIn = (stops: readonly Stop[]): readonly Stop[] =>
  allOf(stops).filter(({ stop }) => stop === 'step');

const faultsAt = (faults: readonly FaultTold[], stop: Stop): readonly FaultTold[] =>
  'paths' in stop ? faults.filter(({ node }) => node !== undefined && stop.paths.includes(node)) : [];

const Stops = ({ stops, ...told }: Told & { readonly stops: readonly Stop[] }) => (
  <ol class="line-stops">
    {stops.map((stop) => (
      <StopShown key={stop.key} stop={stop} {...told} />
    ))}
  </ol>
);

function StopShown({ stop, ...told }: Told & { readonly stop: Stop }) {
  if (stop.stop === 'part') return <PartShown part={stop} {...told} />;
  const { proven, faults, wayTo } = told;
  const beside = 'beside' in stop ? stop.beside : [];
  const isStep = stop.stop === 'step';
  const faulty = faultsAt(faults, stop);
  const isUnreached =
    isStep && stop.paths.length > 0 && stop.paths.every((path) => proven.unreached.includes(path));
  const states = isStep ? proven.statesAt[stop.pointer] : undefined;
  const isUnseen = isStep && stop.paths.length > 0 && states === undefined && !isUnreached;
  const marked = `${faulty.length > 0 ? ' stop-faulty' : ''}${isUnreached ? ' stop-unreached' : ''}`;
  return (
    <li class={`stop stop-${stop.stop}${marked}`}>
      <span class="station" data-stop={stop.key}>
        {isStep ? stop.number : null}
      </span>
      <div class="stop-text">
        <p class="stop-says">{stop.says}</p>
        {isStep ? <StepTold step={stop} states={states} /> : null}
        {stop.stop === 'hold' && stop.releases !== '' ? (
          <p class="stop-more">released by {stop.releases}</p>
        ) : null}
        {faulty.length > 0 ? <p class="stop-alarm">Here it can go wrong.</p> : null}
        {faulty.map((fault) => (
          <a key={wayTo(fault)} class="stop-way" href={wayTo(fault)}>
            Go the way there, step by step
          </a>
        ))}
        {isUnreached ? <p class="stop-more">No way comes here.</p> : null}
        {isUnseen ? <p class="stop-more">No way comes here as far as was seen.</p> : null}
      </div>
      {beside.length === 0 ? null : <Stops stops={beside} {...told} areClosed={false} />}
    </li>
  );
}

function StepTold({ step, states }: { readonly step: Step; readonly states: number | undefined }) {
  const { onlyIf, phases, laws } = step;
  const gone = phases.length === 0 ? [] : [phases.join(' → ')];
  return (
    <>
      {onlyIf === '' ? null : <p class="stop-more">only if {onlyIf}</p>}
      <p class="stop-more">
        {[...gone, ...(states === undefined ? [] : [counted(states, 'state', 'states')])].join(' · ')}
      </p>
      {laws.length === 0 ? null : <p class="stop-more">held by {laws.join(', ')}</p>}
    </>
  );
}

/** A part of the procedure, which can be closed: what is in it is then counted. */
function PartShown({
  part: { key, says, beside },
  areClosed,
  ...told
}: Told & { readonly part: Extract<Stop, { stop: 'part' }> }) {
  const isFaulty = allOf(beside).some((one) => faultsAt(told.faults, one).length > 0);
  return (
    <li class="stop stop-part">
      <span class="station" data-stop={key} />
      <details open={!areClosed || isFaulty}>
        <summary>
          <span class="stop-says">{says}</span>
          <span class="stop-more">{counted(stepsIn(beside).length, 'step', 'steps')}</span>
        </summary>
        <Stops stops={beside} {...told} areClosed={false} />
      </details>
    </li>
  );
}
