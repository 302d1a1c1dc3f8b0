import {
  firingAngles,
  type Phasing,
  type PlanCrank,
  type ResolvedVariant,
  writeAngle,
} from '@ferrule/engine';
import { arc } from 'd3-shape';
import { followerWords } from './follower-words.ts';
import type { NextTurn } from './next-turn.ts';

type Position = PlanCrank['positions'][number];

const OUTER = 96;
const INNER = 44;

/**
 * The working cycle as a dial: once round is the whole cycle, 720° of crankshaft for a four-stroke. A ring for each bore, bore 1
 * outermost, is hatched where its follower is off the base circle. The hand stands where the crank does, the arrow says where to
 * turn now, or, broken, where to turn when the steps before are done.
 */
export function CrankDial({
  variant,
  phasing,
  position,
  turn,
}: {
  readonly variant: ResolvedVariant;
  readonly phasing: Phasing;
  readonly position: Position | undefined;
  readonly turn: NextTurn | undefined;
}) {
  const cycle = phasing.cycle.toNumber();
  const angle = (degrees: number): number => (degrees / cycle) * 2 * Math.PI;
  const width = (OUTER - INNER) / Math.max(1, variant.bores.length);
  const fires = firingAngles(phasing);
  const at = position?.at.toNumber();
  const stops = variant.crank.positions;
  return (
    <figure class="dial">
      <svg viewBox="-126 -122 252 244" role="img" aria-label={describe({ variant, position, turn })}>
        <defs>
          <pattern id="lobe" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <rect class="lobe-ground" width="5" height="5" />
            <path class="lobe-line" d="M0 0v5" />
          </pattern>
        </defs>
        {variant.bores.map((bore, index) => {
          const outer = OUTER - index * width;
          const from = (fires.get(bore)?.toNumber() ?? 0) - phasing.offBase.from.toNumber();
          const span = phasing.offBase.from.toNumber() + phasing.offBase.until.toNumber();
          const ringOf = (start: number, end: number): string =>
            arc()({
              innerRadius: outer - width + 1,
              outerRadius: outer - 1,
              startAngle: angle(start),
              endAngle: angle(end),
            }) ?? '';
          return (
            <g key={bore}>
              <path class="ring" d={ringOf(0, cycle)} />
              <path class="lobe" d={ringOf(from, from + span)} fill="url(#lobe)" />
              <text class="ring-number" y={-(outer - width / 2) + 3.2} text-anchor="middle">
                {bore}
              </text>
            </g>
          );
        })}
        {stops.map((stop) => (
          <g key={stop.title} transform={`rotate(${(stop.at.toNumber() / cycle) * 360})`}>
            <path class="dial-stop" d="M0 -97v-8" />
            <text
              class="stop-angle"
              y="3"
              text-anchor="middle"
              transform={`translate(0 -111) rotate(${(-stop.at.toNumber() / cycle) * 360})`}
            >
              {writeAngle(stop.at)}
            </text>
          </g>
        ))}
        {at === undefined ? null : (
          <g class="hand" transform={`rotate(${(at / cycle) * 360})`}>
            <path d="M0 -40V-101M-5 -94l5 -8l5 8" />
          </g>
        )}
        {at === undefined || turn?.by === undefined ? null : (
          <TurnArrow from={at} turn={Math.min(turn.by, cycle)} cycle={cycle} isNow={turn.isNow} />
        )}
        <text class={position === undefined ? 'dial-of' : 'dial-at'} y="-2" text-anchor="middle">
          {position === undefined ? 'not known' : writeAngle(position.at)}
        </text>
        <text class="dial-of" y="13" text-anchor="middle">
          of {cycle}°
        </text>
      </svg>
      <figcaption>
        <p>
          {position === undefined ? 'Where the crank stands is not known.' : `Crank: ${position.title}.`}
          {position?.heldBy === undefined ? null : ` Held by ${position.heldBy}.`}
        </p>
        {turn?.isNow === true ? <p class="turn-now">{turnWords(turn)}</p> : null}
        <details>
          <summary>The crank in words</summary>
          {turn === undefined || turn.isNow ? null : <p>{turnWords(turn)}</p>}
          <p>Degrees of the working cycle, {writeAngle(phasing.cycle)} in all, in the running direction.</p>
          <ul class="followers">
            {followerWords(phasing, variant.bores, position?.at).map(({ bore, offBase, now }) => (
              <li key={bore}>
                <strong>Bore {bore}</strong>: off the base circle from {offBase}
                {now === undefined ? '' : `; now ${now}`}
              </li>
            ))}
          </ul>
          {variant.crank.accuracy === undefined ? null : (
            <p>The crank may come to rest {writeAngle(variant.crank.accuracy)} beside a stop.</p>
          )}
        </details>
      </figcaption>
    </figure>
  );
}

/** From where the crank stands to where it has to go, in the running direction, on the inside of the rings. */
function TurnArrow({
  from,
  turn,
  cycle,
  isNow,
}: {
  readonly from: number;
  readonly turn: number;
  readonly cycle: number;
  readonly isNow: boolean;
}) {
  const radius = INNER - 8;
  const point = (degrees: number): string => {
    const angle = (degrees / cycle) * 2 * Math.PI;
    return `${(radius * Math.sin(angle)).toFixed(1)} ${(-radius * Math.cos(angle)).toFixed(1)}`;
  };
  const middle = from + turn / 2;
  const end = from + turn - 8;
  return (
    <g class={isNow ? 'turn' : 'turn turn-ahead'}>
      <path
        d={`M${point(from)}A${radius} ${radius} 0 0 1 ${point(middle)}A${radius} ${radius} 0 0 1 ${point(end)}`}
      />
      <path
        class="turn-head"
        d="M0 -7L10 0L0 7z"
        transform={`translate(${point(end)}) rotate(${(end / cycle) * 360})`}
      />
    </g>
  );
}

/** Where to turn, by how much, and what holds it there. */
function turnWords({ says, by, to, isNow }: NextTurn): string {
  const far = [
    ...(by === undefined ? [] : [`${by}° in the running direction`]),
    ...(to === undefined ? [] : [`to ${to.title}`]),
  ].join(', ');
  const held = to?.heldBy === undefined ? '' : `, where it is held by ${to.heldBy}`;
  return `${isNow ? 'Turn now' : 'The next turn, when the steps before it are done'}: ${far || says}${held}.`;
}

function describe({
  variant,
  position,
  turn,
}: {
  readonly variant: ResolvedVariant;
  readonly position: Position | undefined;
  readonly turn: NextTurn | undefined;
}): string {
  const stands = position === undefined ? 'not known' : position.title;
  const lifted =
    position === undefined
      ? []
      : variant.bores.filter((bore) => variant.isOnBaseCircle(bore, position.at) === false);
  return [
    `Crank of the ${variant.title}: ${stands}.`,
    ...(position === undefined
      ? []
      : [
          lifted.length === 0
            ? 'All followers are on the base circle.'
            : `Off the base circle: the follower of bore ${lifted.join(', ')}.`,
        ]),
    ...(turn === undefined ? [] : [turnWords(turn)]),
  ].join(' ');
}
