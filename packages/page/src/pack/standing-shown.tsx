import type { Control, Pack, Plan } from '@ferrule/engine';
import { cellTitle, cellValue } from '@ferrule/print';
import type { Signal } from '@preact/signals';
import { statesAt } from '../job-screen/bore-cells.ts';
import { EngineShown } from '../job-screen/engine-picture.tsx';

/** How the engine stands on a way: its picture, what the guarantee looks at, and what was changed last. */
export function StandingShown({
  plan,
  pack,
  control,
  before,
  watched,
  chosen,
  isOver,
}: {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly control: Control;
  readonly before: Control | undefined;
  /** Names of cells. */
  readonly watched: readonly string[];
  readonly chosen: Signal<number | undefined>;
  readonly isOver: boolean;
}) {
  const node = plan.nodes[control.at];
  const bore = chosen.value;
  return (
    <>
      <EngineShown {...{ plan, pack, control, chosen }} at={node?.bore} />
      {bore === undefined ? null : (
        <section class="known">
          <h3>{`Bore ${bore}`}</h3>
          <dl class="states">
            {statesAt(plan, pack, { control }, bore).map(({ name, title, value, isAtRest }) => (
              <div key={name} class={isAtRest ? '' : 'open'}>
                <dt>{title}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
        </section>
      )}
      {watched.length === 0 ? null : (
        <section class="known watched">
          <h3>{isOver ? 'What it fails by' : 'What it will fail by'}</h3>
          <dl class="states">
            {plan.cells.flatMap(({ name, cell }, index) => {
              if (!watched.includes(name) || cell === 'counter') return [];
              const was = before?.bytes[index];
              const is = control.bytes[index] ?? 0;
              const isChanged = was !== undefined && was !== is;
              return [
                <div key={name} class={isChanged ? 'open' : ''}>
                  <dt>{cellTitle(plan, pack, index)}</dt>
                  <dd>
                    {isChanged ? `${cellValue(plan, index, was)} → ` : ''}
                    {cellValue(plan, index, is)}
                  </dd>
                </div>,
              ];
            })}
          </dl>
        </section>
      )}
    </>
  );
}
