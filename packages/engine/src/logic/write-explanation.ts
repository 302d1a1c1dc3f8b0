import type { Lack } from './answer.ts';
import type { Explanation } from './explanation.ts';

/**
 * An explanation as text: a comparison is one line (`rack-travel 19.18 mm − 0.20 mm = 18.98 mm ≤ 19.20 mm: true`),
 * and what joins several truths is a heading with a line for each, indented by two spaces a level. `label` says
 * how a name is shown.
 */
export function writeExplanation(
  explanation: Explanation,
  label: (name: string) => string = (name) => name,
): string {
  return new Writing(label).lines(explanation).join('\n');
}

/** Why there is no value, as a phrase: `rack-travel is not recorded`. */
export function writeLack(lack: Lack, label: (name: string) => string = (name) => name): string {
  switch (lack.lack) {
    case 'missing':
      return `${label(lack.name)} is not recorded`;
    case 'unfit':
      return `${label(lack.name)} is ${lack.found} where ${lack.expected} is declared`;
    case 'divided-by-zero':
      return 'a division by zero has no value';
    case 'outside-table':
      return `${lack.at} lies outside the table ${lack.table}, ${lack.from} to ${lack.until}`;
  }
}

const SYMBOLS: Readonly<Record<string, string>> = {
  plus: '+',
  minus: '−',
  times: '×',
  over: '÷',
  around: 'around a circle of',
  '==': '=',
  '!=': '≠',
  '<': '<',
  '<=': '≤',
  '>': '>',
  '>=': '≥',
};

class Writing {
  readonly #label: (name: string) => string;

  constructor(label: (name: string) => string) {
    this.#label = label;
  }

  lines(explanation: Explanation): readonly string[] {
    const { says, words, operands } = explanation;
    if (says !== 'and' && says !== 'or' && says !== 'not' && says !== 'if') return [this.#line(explanation)];
    if (!isTruth(explanation) && says === 'if') return [this.#line(explanation)];
    const end = this.#end(explanation);
    const parts = operands.map((operand) => this.lines(operand));
    return [`${words}${end}`, ...parts.flat().map((line) => `  ${line}`)];
  }

  /** A whole statement with what it came to. */
  #line(explanation: Explanation): string {
    const { says } = explanation;
    if (says === 'name' || says === 'literal') {
      const text = this.#operand(explanation);
      return explanation.outcome.outcome === 'not-needed' ? `${text}${this.#end(explanation)}` : text;
    }
    return isTruth(explanation)
      ? `${this.#joined(explanation)}${this.#end(explanation)}`
      : this.#operand(explanation);
  }

  #end({ outcome }: Explanation): string {
    switch (outcome.outcome) {
      case 'amount':
        return outcome.written.startsWith('≈') ? ` ${outcome.written}` : ` = ${outcome.written}`;
      case 'text':
        return ` = "${outcome.text}"`;
      case 'truth':
        return `: ${outcome.truth}`;
      case 'unknown':
        return `: unknown, ${outcome.lacks.map((lack) => writeLack(lack, this.#label)).join(', ')}`;
      case 'not-needed':
        return ': not needed';
    }
  }

  /** A part inside a statement: a name with its value, a literal, a calculation with its result. */
  #operand(explanation: Explanation): string {
    const { says, words, outcome } = explanation;
    switch (says) {
      case 'literal':
        return outcome.outcome === 'text' ? `"${words}"` : words;
      case 'name': {
        const name = this.#label(words);
        if (outcome.outcome === 'amount') return `${name} ${outcome.written}`;
        if (outcome.outcome === 'text') return `${name} "${outcome.text}"`;
        if (outcome.outcome === 'truth') return `${name}: ${outcome.truth}`;
        if (outcome.outcome === 'unknown')
          return `${name} (${outcome.lacks[0]?.lack === 'unfit' ? 'unfit' : 'not recorded'})`;
        return name;
      }
    }
    const joined = this.#joined(explanation);
    if (outcome.outcome === 'amount' || outcome.outcome === 'text')
      return `${joined}${this.#end(explanation)}`;
    if (outcome.outcome === 'truth') return `(${joined}: ${outcome.truth})`;
    return outcome.outcome === 'unknown' && outcome.lacks.some((lack) => !('name' in lack))
      ? `${joined} (no value)`
      : joined;
  }

  #joined({ says, words, operands }: Explanation): string {
    const texts = operands.map((operand) => {
      const text = this.#operand(operand);
      const compound = operand.operands.length > 0 && !text.startsWith('(');
      return compound && (!isRelation(says) || operand.says === 'if') ? `(${text})` : text;
    });
    const [first = '', second = '', third = ''] = texts;
    const symbol = SYMBOLS[says];
    if (symbol) return texts.join(` ${symbol} `);
    if (says === 'if') return `if ${first} then ${second} otherwise ${third}`;
    if (says === 'table') return `${words} at ${first}`;
    if (says === 'negated') return `−${first}`;
    if (says === 'in' || says === 'not-in') return `${first} ${words} ${texts.slice(1).join(', ')}`;
    return `${words} ${texts.join(', ')}`;
  }
}

const isRelation = (says: string): boolean => /^[<>=!]/.test(says);

/** Whether the part stands for a truth; what was not needed and what is unknown goes by what it says. */
function isTruth({ says, outcome, operands }: Explanation): boolean {
  if (outcome.outcome === 'truth') return true;
  if (outcome.outcome === 'amount' || outcome.outcome === 'text') return false;
  if (says === 'if') return operands.slice(1).some((branch) => branch.operands.length > 0 && isTruth(branch));
  return isRelation(says) || ['and', 'or', 'not', 'in', 'not-in'].includes(says);
}
