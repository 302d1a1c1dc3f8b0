import { arc } from 'd3-shape';
import type { StateNow } from './bore-cells.ts';

const ring = arc<{ readonly from: number; readonly to: number }>()
  .innerRadius(23)
  .outerRadius(29)
  .startAngle(({ from }) => from)
  .endAngle(({ to }) => to)
  .padAngle(0.05);

/**
 * One bore as it is seen from above. Around its number stands a ring with a piece for each tracked state, dark where it is not as
 * it has to be in the end; beside it, where something was accepted by concession, an open ball with a bar through it; below it the
 * cam lobe of its follower, up or down. All of it is said in words too.
 */
export function BoreMark({
  bore,
  states,
  isOnBase,
  isConceded,
  isHere,
  isChosen,
  onChoose,
}: {
  readonly bore: number;
  readonly states: readonly StateNow[];
  /** Undefined where nobody knows how the crank stands; of some engines the pack says nothing of followers. */
  readonly isOnBase: boolean | undefined | 'no-data';
  readonly isConceded: boolean;
  readonly isHere: boolean;
  readonly isChosen: boolean;
  readonly onChoose: () => void;
}) {
  const piece = (2 * Math.PI) / Math.max(1, states.length);
  const open = states.filter(({ isAtRest }) => !isAtRest);
  const follower =
    isOnBase === 'no-data'
      ? ''
      : isOnBase === undefined
        ? ' Follower not known.'
        : isOnBase
          ? ' Follower on the base circle.'
          : ' Follower on the lobe.';
  const said = open.map(({ title, value }) => `${title}: ${value}`).join(', ');
  return (
    <button
      type="button"
      class={`bore ${isHere ? 'bore-here' : ''}`}
      aria-pressed={isChosen}
      aria-label={`Bore ${bore}${isHere ? ', the step is here' : ''}. ${said === '' ? 'Everything as it has to be' : said}.${follower}${isConceded ? ' Something was accepted by concession.' : ''}`}
      onClick={onChoose}
    >
      <svg viewBox={`-32 -34 64 ${isOnBase === 'no-data' ? 68 : 92}`} aria-hidden="true">
        {isHere ? <path class="here" d="M-6-34h12l-6 7z" /> : null}
        <circle class="bore-wall" r="20" />
        {states.map(({ name, isAtRest }, index) => (
          <path
            key={name}
            class={isAtRest ? 'piece' : 'piece piece-open'}
            d={ring({ from: index * piece, to: (index + 1) * piece }) ?? ''}
          />
        ))}
        <text class="bore-number" y="7" text-anchor="middle">
          {bore}
        </text>
        {isConceded ? (
          <g transform="translate(23 -23)">
            <ConcededShape />
          </g>
        ) : null}
        {isOnBase === 'no-data' ? null : <FollowerMark isOnBase={isOnBase} />}
      </svg>
    </button>
  );
}

/** What was accepted by concession: an open ball with a bar through it. */
export const ConcededShape = () => (
  <g class="conceded">
    <circle r="6" />
    <path d="M-5 6 5-6" />
  </g>
);

/** A cam from the side: its lobe down where the follower rests on the base circle, up where it is lifted. */
function FollowerMark({ isOnBase }: { readonly isOnBase: boolean | undefined }) {
  if (isOnBase === undefined)
    return (
      <text class="unknown" y="52" text-anchor="middle">
        ?
      </text>
    );
  return (
    <g transform="translate(0 46)">
      <path
        class={isOnBase ? 'cam' : 'cam cam-lifted'}
        d={
          isOnBase
            ? 'M-6-1a6 6 0 0 1 12 0c0 5-4 6-6 10c-2-4-6-5-6-10z'
            : 'M-6 2a6 6 0 0 0 12 0c0-5-4-6-6-10c-2 4-6 5-6 10z'
        }
      />
    </g>
  );
}
