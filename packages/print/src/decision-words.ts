import type { Decision, Pack, Plan, StepNode, Test } from '@ferrule/engine';
import { truthInWords } from './truth-in-words.ts';

/** A decision of the plan in words: `Rocker assembly: off`. Empty for one that always holds. */
export function decisionInWords(plan: Plan, pack: Pack, decision: Decision): string {
  return decision.by === 'condition'
    ? conditionInWords(plan, decision.condition)
    : testInWords(plan, pack, decision.test);
}

function conditionInWords(plan: Plan, index: number): string {
  const condition = plan.conditions[index];
  return condition === undefined ? '' : truthInWords(plan, condition.lowered.typed);
}

/** Whether a decision is settled for this variant: true, false, or undefined where the job decides. */
export function settled(decision: Decision): boolean | undefined {
  return decision.by === 'condition' ? undefined : settledTest(decision.test);
}

/** When a step of a rework is done, in words: its own condition, or that of the block or case that it stands in. */
export function conditionInRework(plan: Plan, pack: Pack, step: StepNode): string | undefined {
  if (step.onlyIf !== undefined) return decisionInWords(plan, pack, step.onlyIf);
  for (let at = step.parent; at >= 0; at = plan.nodes[at]?.parent ?? -1) {
    const around = plan.nodes[at];
    if (around?.node === 'block' && around.resumes !== undefined) return undefined;
    if (around?.onlyIf !== undefined) return decisionInWords(plan, pack, around.onlyIf);
    const choice = plan.nodes[around?.parent ?? -1];
    if (choice?.node !== 'choose') continue;
    const when = choice.cases.find((one) => one.body === at)?.when;
    const words = when === undefined ? 'none of the other cases holds' : decisionInWords(plan, pack, when);
    if (words !== '') return words;
  }
  return undefined;
}

function settledTest(test: Test): boolean | undefined {
  if ('cell' in test) return undefined;
  if ('not' in test) {
    const inner = settledTest(test.not);
    return inner === undefined ? undefined : !inner;
  }
  const parts = ('all' in test ? test.all : test.any).map(settledTest);
  const decisive = !('all' in test);
  if (parts.includes(decisive)) return decisive;
  return parts.every((part) => part === !decisive) ? !decisive : undefined;
}

function testInWords(plan: Plan, pack: Pack, test: Test): string {
  if ('all' in test) return joined(plan, pack, test.all, ' and ');
  if ('any' in test) return joined(plan, pack, test.any, ' or ');
  if ('not' in test) return `not (${testInWords(plan, pack, test.not)})`;
  const cell = plan.cells[test.cell];
  if (cell === undefined) return '';
  if (cell.cell === 'entry') {
    const entry = plan.entries[cell.entry];
    const answers = entry?.entry === 'observation' ? entry.answers : [];
    const texts = test.among.flatMap((value) => answers[value - 1]?.text ?? []);
    return `“${entry?.title ?? cell.name}” is answered ${texts.map((text) => `“${text}”`).join(' or ')}`;
  }
  const values = cell.cell === 'counter' ? [] : cell.values;
  const among = test.among.map((value) => (values[value] ?? String(value)).replaceAll('-', ' ')).join(' or ');
  if (cell.cell === 'truth') return `${conditionInWords(plan, cell.condition)}: ${among}`;
  const bore = /@(\d+)$/.exec(cell.name)?.[1];
  const title =
    cell.cell === 'state'
      ? (pack.states?.[cell.state]?.title ?? cell.state.replaceAll('-', ' '))
      : cell.cell === 'part'
        ? (pack.parts?.[cell.part]?.title ?? cell.part)
        : 'Crank';
  return `${title}${bore === undefined ? '' : ` ${bore}`}: ${among}`;
}

const joined = (plan: Plan, pack: Pack, tests: readonly Test[], sign: string): string =>
  tests.map((one) => testInWords(plan, pack, one)).join(sign);
