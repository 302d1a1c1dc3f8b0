import { type Pack, type Plan, type Quantity, type Stage, valueAt, type written } from '@ferrule/engine';

/** A step that tightens a joint, with what it leaves the joint at. */
export interface JointStep {
  readonly joint: string;
  readonly pointer: string;
  readonly index: number;
  readonly stages: readonly Stage[];
  /** The torque of the last stage that has one. */
  readonly torque?: Quantity;
  readonly torqueStage: number;
  /** An angle follows that torque, so that more is reached than it says. */
  readonly isTurnedFurther: boolean;
  readonly slackens: boolean;
  /** The states that the step changes, as they are written. */
  readonly changes: readonly {
    readonly state: string;
    readonly from: readonly string[];
    readonly to: string;
  }[];
}

const made = new WeakMap<Plan, readonly JointStep[]>();

/** The steps of a plan that tighten a joint, in the order of writing; each written step once. */
export function jointSteps(plan: Plan, pack: Pack): readonly JointStep[] {
  const known = made.get(plan);
  if (known !== undefined) return known;
  const seen = new Set<string>();
  const found: JointStep[] = [];
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.act?.act !== 'tighten' || seen.has(node.pointer)) continue;
    seen.add(node.pointer);
    const { joint, stages } = node.act;
    const torqueStage = stages.findLastIndex((one) => one.stage === 'torque');
    const last = stages[torqueStage];
    const step = valueAt(pack, node.pointer) as written.Step | undefined;
    found.push({
      joint,
      pointer: node.pointer,
      index: node.index,
      stages,
      torqueStage,
      ...(last?.stage === 'torque' ? { torque: last.torque } : {}),
      isTurnedFurther: stages.slice(torqueStage + 1).some((one) => one.stage === 'angle'),
      slackens: stages.some((one) => one.stage === 'slacken'),
      changes: Object.entries(step?.changes ?? {}).map(([state, [from = [], to = '']]) => ({
        state,
        from: typeof from === 'string' ? [from] : from,
        to: String(to),
      })),
    });
  }
  made.set(plan, found);
  return found;
}

/** Whether a step leaves a state at a value with which a job may end: the joint is then as it stays. */
export const isFinal = ({ changes }: JointStep, pack: Pack): boolean =>
  changes.some(({ state, to }) => {
    const ends = pack.states?.[state]?.ends ?? [];
    return typeof ends === 'string' ? ends === to : ends.includes(to);
  });
