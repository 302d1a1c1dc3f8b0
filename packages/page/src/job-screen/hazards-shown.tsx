import type { PlanHazard } from '@ferrule/engine';

/** The hazards of a step, the gravest first, each under its signal word (ANSI Z535.6, ISO 3864-2). */
export function HazardsShown({ hazards }: { readonly hazards: readonly PlanHazard[] }) {
  if (hazards.length === 0) return null;
  const order = ['danger', 'warning', 'caution', 'notice'] as const;
  const sorted = [...hazards].sort((a, b) => order.indexOf(a.signal) - order.indexOf(b.signal));
  return (
    <ul class="hazards">
      {sorted.map(({ id, signal, text }) => (
        <li key={id} class={`hazard hazard-${signal}`}>
          <strong>
            {signal === 'notice' ? null : (
              <svg viewBox="0 0 20 18" aria-hidden="true">
                <path class="alert" d="M10 1L19 17H1z" />
                <path class="alert-sign" d="M10 6v5M10 13.4v.4" />
              </svg>
            )}
            {signal.toUpperCase()}
          </strong>
          <p>{text}</p>
        </li>
      ))}
    </ul>
  );
}
