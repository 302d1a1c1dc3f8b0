import { inWords, type Plan, type TypedAmount, type TypedTruth, writeFormula } from '@ferrule/engine';

const signs = { '==': '=', '!=': '≠', '<': '<', '<=': '≤', '>': '>', '>=': '≥' } as const;

/** A condition over readings and answers in words: `share of mean < 75 %`. A value that is judged stands by its name. */
export function truthInWords(plan: Plan, truth: TypedTruth): string {
  return new Words(plan, truth).of(truth);
}

class Words {
  readonly #plan: Plan;
  /** The one bore that everything is about; the bore is said where there are several. */
  readonly #bore: string | undefined;
  readonly #judged: ReadonlyMap<string, string>;

  constructor(plan: Plan, truth: TypedTruth) {
    this.#plan = plan;
    const bores = new Set(JSON.stringify(truth).match(/(?<=@)\d+(?=")/g));
    this.#bore = bores.size === 1 ? [...bores][0] : undefined;
    this.#judged = new Map(
      plan.tolerances.map((one) => {
        const bore = /@\d+$/.exec(one.name)?.[0] ?? '';
        return [JSON.stringify(one.value), one.of.includes('@') ? one.of : `${one.of}${bore}`];
      }),
    );
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
        return `${this.#text(text)} is ${negated ? 'not ' : ''}${answers.join(' or ')}`;
      }
      case 'if':
        return `where ${this.of(truth.condition)}: ${this.of(truth.then)}; else: ${this.of(truth.otherwise)}`;
    }
  }

  #amount(amount: TypedAmount): string {
    const judged = amount.node === 'calculation' ? this.#judged.get(JSON.stringify(amount)) : undefined;
    return judged === undefined ? writeFormula(amount, (name) => this.#named(name)) : this.#named(judged);
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

  #named(name: string): string {
    const [, bore] = /@(\d+)$/.exec(name) ?? [];
    const entry = this.#plan.entries.find((one) => one.name === name);
    const words = entry?.entry === 'observation' ? entry.title : inWords(name);
    return bore === undefined || bore === this.#bore ? words : `${words} of bore ${bore}`;
  }
}

type Text = Extract<TypedTruth, { node: 'membership' }>['text'];
