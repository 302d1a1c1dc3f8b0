import { type Control, PHASE, type Plan, type PlanCrank, progressOf, type StepNode } from '@ferrule/engine';
import { isRework } from './position-of.ts';

type Position = PlanCrank['positions'][number];

/** The next time that the crankshaft is turned. */
export interface NextTurn {
  /** In words of the procedure, such as what it is turned until. */
  readonly says: string;
  /** Degrees of crankshaft in the running direction, where they are said or follow from where it stands. */
  readonly by?: number;
  /** The position that it comes to, where it is a known one. */
  readonly to?: Position;
  /** It is what is to be done now; otherwise other steps come first. */
  readonly isNow: boolean;
}

/** The crank is the first cell of every plan. */
const CRANK = 0;

/** Where the crankshaft is turned next, by the plan: in the step that is open, or in the first one ahead that is not done. */
export function nextTurn(plan: Plan, control: Control, cycle: number): NextTurn | undefined {
  const here = plan.nodes[control.at];
  if (here === undefined || control.closed !== undefined) return undefined;
  const ahead = plan.nodes.slice(control.at).find(
    (node): node is StepNode =>
      node.node === 'step' &&
      isTurn(node) &&
      // A rework is ahead only for who is in it.
      (!isRework(plan, node) || isRework(plan, here)) &&
      (node.index === control.at
        ? progressOf(plan, control, node.index) <= PHASE.act
        : progressOf(plan, control, node.index) !== PHASE.done),
  );
  const { act } = ahead ?? {};
  if (ahead === undefined || act === undefined) return undefined;
  const stands = control.bytes[CRANK] ?? 0;
  const effect = ahead.effects.find(({ cell }) => cell === CRANK);
  const place = effect === undefined ? 0 : 'to' in effect ? effect.to : (effect.table[stands] ?? 0);
  const to = plan.crank.positions[place - 1];
  const from = plan.crank.positions[stands - 1]?.at.toNumber();
  // To a mark where it stands already, or from where nobody knows, it is turned until the mark is there.
  const toMark = to === undefined || from === undefined ? 0 : (to.at.toNumber() - from + cycle) % cycle;
  const by = act.act === 'turn' ? act.by.value.toNumber() : toMark === 0 ? undefined : toMark;
  return {
    says: act.says.replace(/\.$/, ''),
    ...(by === undefined ? {} : { by }),
    ...(to === undefined ? {} : { to }),
    isNow: ahead.index === control.at,
  };
}

const isTurn = ({ act }: StepNode): boolean =>
  act?.act === 'turn' || act?.act === 'turn-to' || act?.act === 'turn-until';
