import type { ComparedBump } from '@ferrule/compare/document';

const levels: readonly string[] = ['none', 'patch', 'minor', 'major'];
const WIDTH = 300;
const STEP = WIDTH / levels.length;
const FOOT = 116;
const RISE = 19;

/** The step that the changes ask for beside the step that the number of the revision takes, as two marks on a stair. */
export function NumberStairs({
  bump: { called, needed, says },
  before,
  after,
}: {
  readonly bump: ComparedBump;
  readonly before: string;
  readonly after: string;
}) {
  const asked = levels.indexOf(needed);
  const taken = levels.indexOf(called);
  const top = (level: number): number => FOOT - 8 - RISE * level;
  const middle = (level: number): number => STEP * (level + 0.5);
  return (
    <figure class="stairs">
      <svg viewBox={`0 0 ${WIDTH} ${FOOT + 20}`} role="img" aria-label={says}>
        <path
          class="stairs-tread"
          d={`M0 ${FOOT}${levels.map((_, level) => `V${top(level)}h${STEP}`).join('')}V${FOOT}z`}
        />
        {levels.map((one, level) => (
          <text key={one} class="stairs-name" x={middle(level)} y={FOOT + 15}>
            {one}
          </text>
        ))}
        <path class="stairs-asked" d={`M${middle(asked) - 14} ${top(asked) - 11}l8 -8 8 8 -8 8z`} />
        {taken < 0 ? null : (
          <circle class="stairs-taken" cx={middle(taken) + 12} cy={top(taken) - 11} r="7" />
        )}
      </svg>
      <figcaption>
        <span>
          <svg viewBox="0 0 20 20" aria-hidden="true">
            <path class="stairs-asked" d="M2 10l8-8 8 8-8 8z" />
          </svg>
          asked for by the changes: {needed}
        </span>
        <span>
          <svg viewBox="0 0 20 20" aria-hidden="true">
            <circle class="stairs-taken" cx="10" cy="10" r="7" />
          </svg>
          said by the number, {before} to {after}: {called}
        </span>
      </figcaption>
    </figure>
  );
}
