import type { Decision, Pack, Plan, StepNode, Test } from '@ferrule/engine';
import { type StepOfEntry, truthInWords } from './truth-in-words.ts';

const unnumbered: StepOfEntry = () => undefined;

/**
 * A decision of the plan in words: `Rocker assembly: off`. Empty for one that always holds. A question is said by the number
 * of its step where it has one: `step 5 found “black smoke”`.
 */
export function decisionInWords(
  plan: Plan,
  pack: Pack,
  decision: Decision,
  stepOf: StepOfEntry = unnumbered,
): string {
  return decision.by === 'condition'
    ? conditionInWords(plan, decision.condition, stepOf)
    : new TestWords(plan, pack, stepOf).of(decision.test);
}

function conditionInWords(plan: Plan, index: number, stepOf: StepOfEntry): string {
  const condition = plan.conditions[index];
  return condition === undefined ? '' : truthInWords(plan, condition.lowered.typed, stepOf);
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

class TestWords {
  readonly #plan: Plan;
  readonly #pack: Pack;
  readonly #stepOf: StepOfEntry;

  constructor(plan: Plan, pack: Pack, stepOf: StepOfEntry) {
    this.#plan = plan;
    this.#pack = pack;
    this.#stepOf = stepOf;
  }

  of(test: Test): string {
    if ('all' in test) return test.all.map((one) => this.of(one)).join(' and ');
    if ('any' in test) return test.any.map((one) => this.of(one)).join(' or ');
    if ('not' in test) return `not (${this.of(test.not)})`;
    const cell = this.#plan.cells[test.cell];
    if (cell === undefined) return '';
    if (cell.cell === 'entry') return this.#answered(cell.entry, cell.name, test.among);
    const values = cell.cell === 'counter' ? [] : cell.values;
    const among = test.among
      .map((value) => (values[value] ?? String(value)).replaceAll('-', ' '))
      .join(' or ');
    if (cell.cell === 'truth')
      return `${conditionInWords(this.#plan, cell.condition, this.#stepOf)}: ${among}`;
    const bore = /@(\d+)$/.exec(cell.name)?.[1];
    const title =
      cell.cell === 'state'
        ? (this.#pack.states?.[cell.state]?.title ?? cell.state.replaceAll('-', ' '))
        : cell.cell === 'part'
          ? (this.#pack.parts?.[cell.part]?.title ?? cell.part)
          : 'Crank';
    return `${title}${bore === undefined ? '' : ` ${bore}`}: ${among}`;
  }

  #answered(index: number, name: string, among: readonly number[]): string {
    const entry = this.#plan.entries[index];
    const answers = entry?.entry === 'observation' ? entry.answers : [];
    const texts = among.flatMap((value) => answers[value - 1]?.text ?? []).map((text) => `“${text}”`);
    const step = this.#stepOf(index);
    return step === undefined
      ? `“${entry?.title ?? name}” is answered ${texts.join(' or ')}`
      : `step ${step} found ${texts.join(' or ')}`;
  }
}
