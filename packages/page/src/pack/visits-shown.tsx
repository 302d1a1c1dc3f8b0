import type { VisitTold } from './examination.ts';

/** Every step of a way in its order; those where something goes wrong or is put right stand out. One goes to a step by touching it. */
export function VisitsShown({
  visits,
  at,
  onGo,
}: {
  readonly visits: readonly VisitTold[];
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
      </ol>
    </section>
  );
}
