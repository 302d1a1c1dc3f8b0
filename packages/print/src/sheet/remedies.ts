import type { PlanNode, Remedy, StepNode } from '@ferrule/engine';
import { type Insert, type Markup, markup } from '../markup.ts';
import { lettered } from './boxes.ts';
import { hazardsAgain, hazardsOf } from './hazards.ts';
import { instructionForAll } from './instruction.ts';
import { sayingOf, type Written } from './written.ts';

/** What follows when a step does not conform, in short; with a box for each time where `isOne`. */
export function remedyLines(written: Written, steps: readonly StepNode[], isOne: boolean): readonly Markup[] {
  const [first] = steps;
  if (first === undefined) return [];
  const line = (when: string, pick: (step: StepNode) => Remedy | undefined): readonly Markup[] => {
    const remedies = steps.flatMap((step) => pick(step) ?? []);
    return remedies.length === 0
      ? []
      : [markup`<div class="remedy">${remedyWords(written, when, remedies, isOne)}</div>`];
  };
  const check = first.check;
  const struck = line('If an entry of this step is struck', (step) => step.struck);
  if (check === undefined) return struck;
  if (check.check !== 'tolerance')
    return [
      ...line('If nonconforming', (step) =>
        step.check !== undefined && step.check.check !== 'tolerance' ? step.check.nonconforming : undefined,
      ),
      ...struck,
    ];
  const side = (step: StepNode, name: 'high' | 'low' | 'inconclusive'): Remedy | undefined =>
    step.check?.check === 'tolerance' ? step.check[name] : undefined;
  return [
    ...(isSame(check.high, check.low)
      ? line('If nonconforming', (step) => side(step, 'high') ?? side(step, 'low'))
      : [
          ...line('If too high', (step) => side(step, 'high')),
          ...line('If too low', (step) => side(step, 'low')),
        ]),
    ...line('If inconclusive', (step) => side(step, 'inconclusive')),
    ...struck,
  ];
}

/** Whether what follows is the same on both sides, or there is one side only. */
export function isSame(a: Remedy | undefined, b: Remedy | undefined): boolean {
  if (a === undefined || b === undefined) return true;
  if (a.remedy === 'hold') return b.remedy === 'hold' && a.hold === b.hold;
  return b.remedy === 'rework' && a.body === b.body;
}

function remedyWords(written: Written, when: string, remedies: readonly Remedy[], isOne: boolean): Insert {
  const [first] = remedies;
  if (first === undefined) return '';
  if (first.remedy === 'hold') return markup`<b>${when}:</b> hold ${written.holds.label(first.hold)}.`;
  // The first attempt is no rework: of one attempt none is left.
  if (first.attempts === 1) return markup`<b>${when}:</b> hold ${written.holds.label(first.exhausted)}.`;
  const bodies = remedies.flatMap((one) =>
    one.remedy === 'rework' ? (written.plan.nodes[one.body] ?? []) : [],
  );
  const times = first.attempts - 1;
  const often = times === 1 ? 'once' : `at most ${times} times`;
  return markup`<b>${when}</b>, ${often}: ${reworkWords(written, bodies, isOne ? times : 0)} Then again ${fromStep(written, bodies)}. After that: hold ${written.holds.label(first.exhausted)}.`;
}

const MOST_BOXES = 4;

/** What a rework is: its one step with a box for each time, or the letter of its list of steps. */
export function reworkWords(written: Written, bodies: readonly PlanNode[], times: number): Insert {
  const rework = written.work.reworkOf(bodies[0]?.index ?? -1);
  if (rework === undefined) return '';
  if (rework.letter !== undefined) return markup`rework <b>${rework.letter}</b>.`;
  const steps = rework.rows.flatMap((row) => (row.row === 'step' ? row.at.flatMap((one) => one ?? []) : []));
  const boxes = Array.from({ length: Math.min(times, MOST_BOXES) }, (_, number) => [
    lettered(`${number + 1}`),
    ' ',
  ]);
  const hazards = hazardsOf(
    written.plan,
    steps.flatMap((one) => one.hazards),
  );
  return steps.length === 0
    ? ''
    : markup`${hazardsAgain(hazards)}<div class="short-rework">${boxes}${instructionForAll(written, steps)}</div>`;
}

/** `from step 12`: where the job goes on after a body of rework. */
export function fromStep({ plan, work }: Written, bodies: readonly PlanNode[]): string {
  const numbers = bodies.flatMap((body) =>
    body.node === 'block' && body.resumes !== undefined ? (work.numberOf(body.resumes.at) ?? []) : [],
  );
  const body = bodies[0];
  const at = body?.node === 'block' ? plan.nodes[body.resumes?.at ?? -1] : undefined;
  return numbers[0] === undefined ? `from “${nameOfNode(at)}”` : `from step ${numbers[0]}`;
}

const nameOfNode = (node: PlanNode | undefined): string =>
  node === undefined ? 'there' : node.node === 'step' ? sayingOf(node) : node.id.replaceAll('-', ' ');
