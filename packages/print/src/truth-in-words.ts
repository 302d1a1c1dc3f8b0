import { inWords, type Plan, type TypedAmount, type TypedTruth, writeFormula } from '@ferrule/engine';
import { placedInWords, saidOnce, withoutPlace } from './formula.ts';

const signs = { '==': '=', '!=': '≠', '<': '<', '<=': '≤', '>': '>', '>=': '≥' } as const;

/** The number of the step that takes an entry, where steps have numbers and it has one by then. */
export type StepOfEntry = (entry: number) => string | undefined;

/**
 * A condition over readings and answers in words: `share of mean < 75 %`. A value that is judged stands by its name, a
 * question by the number of its step where it has one.
 */
export function truthInWords(plan: Plan, truth: TypedTruth, stepOf: StepOfEntry = () => undefined): string {
  return new Words(plan, truth, stepOf).of(truth);
}

class Words {
  readonly #plan: Plan;
  /** The one bore that everything is about; the bore is said where there are several. */
  readonly #bore: string | undefined;
  readonly #stepOf: StepOfEntry;

  constructor(plan: Plan, truth: TypedTruth, stepOf: StepOfEntry) {
    this.#plan = plan;
    this.#stepOf = stepOf;
    const bores = new Set(JSON.stringify(truth).match(/(?<=@)\d+(?=")/g));
    this.#bore = bores.size === 1 ? [...bores][0] : undefined;
  }

  of(truth: TypedTruth): string {
    switch (truth.node) {
      case 'name':
        return this.#named(truth.name);
      case 'literal':
        return truth.truth ? 'always' : 'never';
      case 'connective': {
        const parts = truth.operands.map((one) =>
          one.node === 'connective' ? `(${this.of(one)})` : this.of(one),
        );
        return truth.connective === 'not' ? `not (${parts.join(', ')})` : parts.join(` ${truth.connective} `);
      }
      case 'comparison':
        return truth.operands.map((one) => this.#amount(one)).join(` ${signs[truth.relation]} `);
      case 'membership': {
        const { text, among, negated } = truth;
        const answers = among.map((one) =>
          one.node === 'literal' ? this.#answer(text, one.text) : this.#text(one),
        );
        const step = text.node === 'name' ? this.#stepOfText(text.name) : undefined;
        return step === undefined
          ? `${this.#text(text)} is ${negated ? 'not ' : ''}${answers.join(' or ')}`
          : `step ${step} ${negated ? 'did not find' : 'found'} ${answers.join(' or ')}`;
      }
      case 'if':
        return `where ${this.of(truth.condition)}: ${this.of(truth.then)}; else: ${this.of(truth.otherwise)}`;
    }
  }

  #amount(amount: TypedAmount): string {
    return writeFormula(saidOnce(this.#plan, amount), (name) => this.#named(name));
  }

  #text(text: Text): string {
    if (text.node === 'literal') return `“${text.text}”`;
    if (text.node === 'name') return `“${this.#named(text.name)}”`;
    return `${this.#text(text.then)} or ${this.#text(text.otherwise)}`;
  }

  /** An answer as the sheet has it. */
  #answer(text: Text, id: string): string {
    const entry = text.node === 'name' ? this.#plan.entries.find((one) => one.name === text.name) : undefined;
    const answer = entry?.entry === 'observation' ? entry.answers.find((one) => one.id === id) : undefined;
    return `“${answer?.text ?? id}”`;
  }

  #stepOfText(name: string): string | undefined {
    const index = this.#plan.entries.findIndex((one) => one.name === name);
    return index < 0 ? undefined : this.#stepOf(index);
  }

  #named(name: string): string {
    const entry = this.#plan.entries.find((one) => one.name === name);
    const words = entry?.entry === 'observation' ? entry.title : inWords(withoutPlace(name));
    return placedInWords(name, words, this.#bore);
  }
}

type Text = Extract<TypedTruth, { node: 'membership' }>['text'];
