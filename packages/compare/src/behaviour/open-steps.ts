import {
  advance,
  type Control,
  PHASE,
  type Plan,
  type Signal,
  type StepNode,
  startControl,
  waysOn,
} from '@ferrule/engine';
import { shortestWay } from '@ferrule/engine/proof';
import type { Comparison, Found } from '../comparison.ts';
import type { ComparedPermitted, ComparedWayStep } from '../document/generated/comparison-document.ts';
import { drive } from './drive.ts';
import type { NewPlans } from './new-plans.ts';
import { nodeTitle, tellWay } from './tell-way.ts';
import type { Until } from './until.ts';

/** For hazards that need not be seen or acknowledged, holds that another may release, and steps that ask for less: a way to it. */
export function openSteps(c: Comparison, plans: NewPlans, until: Until): readonly ComparedPermitted[] {
  return c.found.flatMap((found, change): readonly ComparedPermitted[] => {
    const about = aboutOf(found);
    if (about === undefined) return [];
    let isKnown = true;
    for (const { procedure, variant } of plans.names) {
      const plan = plans.of({ procedure, variant });
      const isThere = plan === undefined ? undefined : about.placeIn(plan);
      if (plan === undefined || isThere === undefined) continue;
      const way = shortestWay(plan, isThere, until.isOver);
      isKnown &&= way.way !== 'unknown';
      if (way.way !== 'found') continue;
      const replayed = drive(plan, way.signals, false);
      const job = replayed.failed === undefined ? replayed : undefined;
      const told = tellWay({ plan, pack: c.new }, way.signals, job, []);
      const next = about.isNext ? nextStep(plan, way.signals, told) : [];
      return [{ change, found: 'way', procedure, variant, says: about.says, way: [...told, ...next] }];
    }
    return [
      isKnown
        ? { change, found: 'none', says: `${about.says} No way comes to it.` }
        : until.isOver()
          ? { change, found: 'cut-short', says: `${about.says} The time was over before a way was found.` }
          : {
              change,
              found: 'not-shown',
              says: `${about.says} No way that comes to it could be written out.`,
            },
    ];
  });
}

interface About {
  readonly says: string;
  /** The way ends before the step is done, and the step is told as what comes next. */
  readonly isNext: boolean;
  /** Whether a job has come to it, and what happens there; undefined where the plan does not have it. */
  placeIn(plan: Plan): ((control: Control) => Signal | boolean) | undefined;
}

function aboutOf({ change, kind, key, effect, at, after, before }: Found): About | undefined {
  const release = /^(.*\/release\/\d+)(?:\/by)?$/.exec(after?.pointer ?? '')?.[1];
  if (change === 'hold-changed' && release !== undefined && effect !== 'stronger')
    return {
      says: `The hold can be released otherwise than before: ${after?.says ?? ''}${before === undefined ? '' : `, and not ${before.says}`}.`,
      isNext: false,
      placeIn: (plan) => releaseIn(plan, release),
    };
  if (kind === 'hazard' && key === 'acknowledge' && effect === 'weaker')
    return {
      says: 'The step goes on without anybody having acknowledged the hazard.',
      isNext: true,
      placeIn: (plan) => stepIn(plan, (node) => node.hazards.includes(at.after.split('/').at(-1) ?? '')),
    };
  if (kind === 'step' && effect === 'weaker' && at.after !== '' && key !== undefined && key !== 'requires')
    return {
      says: asked[key] ?? `The step is done with less than before under ${key}.`,
      isNext: true,
      placeIn: (plan) => stepIn(plan, ({ pointer }) => pointer === at.after),
    };
  return undefined;
}

const asked: Readonly<Record<string, string>> = {
  hazards: 'The step is done without the hazard being shown.',
  witness: 'The step is done without being witnessed as before.',
  'together-with': 'The step is done by one person alone.',
  judge: 'The step is done without the verdict of before.',
  observe: 'The step is done without what had to be looked at before.',
  read: 'The step is done without the reading of before.',
};

/** The step that a way has come to. */
function nextStep(
  plan: Plan,
  signals: readonly Signal[],
  told: readonly ComparedWayStep[],
): readonly ComparedWayStep[] {
  const { at } = signals.reduce((control, signal) => advance(plan, control, signal), startControl(plan));
  const says = nodeTitle(plan, at);
  const last = told.at(-1);
  if (last?.says === says) return [];
  const number = (last?.until ?? 0) + 1;
  return [{ from: number, until: number, says, happens: [] }];
}

/** A hold that may be released in a way, and that release. */
function releaseIn(plan: Plan, pointer: string): ((control: Control) => Signal | boolean) | undefined {
  const [, above = '', number = ''] = /^(.*)\/release\/(\d+)$/.exec(pointer) ?? [];
  const release = Number(number);
  if (!plan.holds.some((one) => one.pointer === above)) return undefined;
  return (control) => {
    if (plan.holds[control.hold]?.pointer !== above) return false;
    return waysOn(plan, control).find((one) => one.signal === 'released' && one.release === release) ?? false;
  };
}

/** A step that has acted, or that takes an entry. */
function stepIn(plan: Plan, isIt: (step: StepNode) => boolean): ((control: Control) => boolean) | undefined {
  const nodes = new Set(plan.nodes.flatMap((node) => (node.node === 'step' && isIt(node) ? node.index : [])));
  if (nodes.size === 0) return undefined;
  return ({ at, hold, bytes }) => {
    const phase = bytes[plan.cells.length + at] ?? 0;
    return nodes.has(at) && hold < 0 && phase >= PHASE.act && phase < PHASE.passed;
  };
}
