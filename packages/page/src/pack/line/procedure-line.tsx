import { writtenLevel } from '@ferrule/print';
import { useMemo } from 'preact/hooks';
import { AwayShown, ProblemShown } from '../../pieces/problem-shown.tsx';
import type { FaultTold, ProvenVariant } from '../examination.ts';
import { usePlan } from '../use-plan.ts';
import { LineDrawn } from './line-drawn.tsx';
import { stopsOf } from './stops-of.ts';

/** A procedure as a line of stops: its steps in order, loops, choices, reworks with their way back, and holds. */
export function ProcedureLine({
  digest,
  procedure,
  proven,
  ...told
}: {
  readonly digest: string;
  readonly procedure: string;
  readonly proven: ProvenVariant;
  readonly faults: readonly FaultTold[];
  /** The address of the way to a fault. */
  readonly wayTo: (fault: FaultTold) => string;
  /** The path of the step that somebody comes to see. */
  readonly sought: string | undefined;
}) {
  const { came, again, made } = usePlan(digest, procedure, proven.variant);
  const stops = useMemo(
    () => (made === undefined ? [] : stopsOf(made.plan, writtenLevel(made.plan, made.pack))),
    [made],
  );
  if (came?.came === 'problem') return <ProblemShown problem={came.problem} onAgain={again} />;
  if (came?.came === 'away') return <AwayShown onAgain={again} />;
  if (made === undefined) return <p class="empty">Drawing it …</p>;
  return <LineDrawn key={proven.variant} stops={stops} proven={proven} {...told} />;
}
