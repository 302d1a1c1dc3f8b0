import type { VisitTold } from './examination.ts';
import { LineMark } from './line-mark.tsx';

/**
 * Every step of a way in its order, and what it comes to; those where something goes wrong or is put right stand out. One goes to a
 * step by touching it.
 */
export function VisitsShown({
  visits,
  next,
  at,
  onGo,
}: {
  readonly visits: readonly VisitTold[];
  /** What comes next after the last of them. */
  readonly next: string;
  readonly at: number;
  readonly onGo: (to: number) => void;
}) {
  return (
    <section>
      <h2>The whole way</h2>
      <ol class="visits">
        {visits.map(({ title, course, changes }, index) => (
          <li key={index}>
            <button
              type="button"
              class={`visit visit-${course}`}
              aria-current={at === index + 1 ? 'step' : undefined}
              onClick={() => onGo(index + 1)}
            >
              <span class="visit-number">{index + 1}</span>
              <span>
                {title}
                {changes.length === 0 ? null : <span class="visit-changes">{changes.join('; ')}</span>}
              </span>
            </button>
          </li>
        ))}
        <li>
          <button type="button" class="visit-next" onClick={() => onGo(visits.length)}>
            <LineMark line="broken" />
            <span>{next}</span>
          </button>
        </li>
      </ol>
    </section>
  );
}
