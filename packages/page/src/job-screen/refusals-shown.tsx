import type { Plan, Refusal } from '@ferrule/engine';
import { inTitles } from '@ferrule/print';

/** Why something was not taken, and what to do. Nothing has changed. */
export function RefusalsShown({
  plan,
  refusals,
  isAlert = true,
}: {
  readonly plan: Plan;
  readonly refusals: readonly Pick<Refusal, 'message' | 'remedy' | 'about'>[];
  readonly isAlert?: boolean;
}) {
  if (refusals.length === 0) return null;
  return (
    <div role={isAlert ? 'alert' : undefined}>
      <ul class="refusals">
        {refusals.map(({ message, remedy, about }) => (
          <li key={message}>
            <p>{inTitles(plan, message, about)}</p>
            {remedy === '' ? null : <p class="remedy">{inTitles(plan, remedy, about)}</p>}
          </li>
        ))}
      </ul>
    </div>
  );
}
