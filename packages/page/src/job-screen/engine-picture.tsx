import { type Control, type Pack, type Plan, Report, resolveVariant } from '@ferrule/engine';
import type { Signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { statesAt } from './bore-cells.ts';
import { BoreMark, ConcededShape } from './bore-mark.tsx';
import { concededBores } from './conceded-bores.ts';
import { CrankDial } from './crank-dial.tsx';
import { nextTurn } from './next-turn.ts';

/** The engine as a job has left it. */
export function EnginePicture({
  session,
  chosen,
  at,
}: {
  readonly session: JobSession;
  readonly chosen: Signal<number | undefined>;
  /** The bore that the step is about. */
  readonly at: number | undefined;
}) {
  const { plan, pack, folded } = session;
  const { job } = folded.value;
  return (
    <EngineShown {...{ plan, pack, chosen, at }} control={job.control} conceded={concededBores(plan, job)} />
  );
}

/** The engine, front to rear: every bore with its state, and the crank. One goes by touching it. */
export function EngineShown({
  plan,
  pack,
  control,
  chosen,
  at,
  conceded,
}: {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly control: Control;
  readonly chosen: Signal<number | undefined>;
  readonly at: number | undefined;
  /** The bores at which something was accepted by concession. */
  readonly conceded?: ReadonlySet<number>;
}) {
  const variant = useMemo(() => resolveVariant(pack, plan.variant.id, new Report()), [pack, plan]);
  const crank = control.bytes[0] ?? 0;
  const position = plan.crank.positions[crank - 1];
  if (variant.phasing === undefined && !hasBores(plan)) return null;
  return (
    <section class="engine" aria-label="Engine, front to rear">
      <div class="bores">
        <span class="engine-end">front</span>
        {variant.bores.map((bore) => (
          <BoreMark
            key={bore}
            bore={bore}
            states={statesAt(plan, pack, { control }, bore)}
            isOnBase={
              variant.phasing === undefined
                ? 'no-data'
                : position === undefined
                  ? undefined
                  : variant.isOnBaseCircle(bore, position.at)
            }
            isConceded={conceded?.has(bore) === true}
            isHere={bore === at}
            isChosen={bore === chosen.value}
            onChoose={() => {
              chosen.value = chosen.value === bore ? undefined : bore;
            }}
          />
        ))}
        <span class="engine-end">rear</span>
      </div>
      {conceded === undefined || conceded.size === 0 ? null : (
        <p class="conceded-said">
          <svg viewBox="-8 -8 16 16" aria-hidden="true">
            <ConcededShape />
          </svg>
          Accepted by concession: bore {variant.bores.filter((one) => conceded.has(one)).join(', ')}
        </p>
      )}
      {variant.phasing === undefined ? null : (
        <CrankDial
          variant={variant}
          phasing={variant.phasing}
          position={position}
          turn={nextTurn(plan, control, variant.phasing.cycle.toNumber())}
        />
      )}
    </section>
  );
}

/** Whether anything of the job belongs to a single bore. */
const hasBores = ({ cells, nodes }: Plan): boolean =>
  nodes.some(({ bore }) => bore !== undefined) || cells.some(({ name }) => /@\d+$/.test(name));
