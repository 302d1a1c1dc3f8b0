import {
  compile,
  evaluate,
  lower,
  parseQuantity,
  type Quantity,
  scopeOf,
  type Typed,
  type TypedTruth,
  typeExpression,
} from '@ferrule/engine';
import { LogicEngine } from 'json-logic-engine';
import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { contest, over, type Way } from './contest.ts';
import { randomFrom } from './random.ts';
import { type Row, rowsOf } from './row.ts';
import { asked } from './rules-engine.ts';

interface Prepared {
  readonly doubles: {
    readonly temperature: number;
    readonly gap: number;
    readonly torque: number;
    readonly variant: string;
  };
  readonly amounts: ReadonlyMap<string, Quantity | string>;
}

/** Three comparisons and a text, joined by and and or: in the words of each library. */
const onNumbers: RulesLogic = {
  and: [
    { '==': [{ var: 'variant' }, 'marram-four'] },
    { '>=': [{ var: 'temperature' }, 15] },
    { or: [{ '<': [{ var: 'gap' }, 2.05] }, { '>': [{ var: 'torque' }, 12.5] }] },
  ],
};
const onAmounts = {
  and: [
    { '==': [{ var: 'variant' }, 'marram-four'] },
    { '>=': [{ var: 'temperature' }, '15 °C'] },
    { or: [{ '<': [{ var: 'gap' }, '2.05 mm'] }, { '>': [{ var: 'torque' }, '12.5 N·m'] }] },
  ],
};

function quantity(text: string): Quantity {
  const read = parseQuantity(text);
  if ('fault' in read) throw new Error(text);
  return read.quantity;
}

function inputsOf(count: number): readonly Prepared[] {
  const random = randomFrom(1_997);
  return Array.from({ length: count }, () => {
    const [temperature, gap, torque] = [random(40), random(400) / 100, random(250) / 10];
    const variant = random(3) === 0 ? 'marram-three' : 'marram-four';
    const amounts = new Map<string, Quantity | string>([
      ['temperature', quantity(`${temperature} °C`)],
      ['gap', quantity(`${gap.toFixed(2)} mm`)],
      ['torque', quantity(`${torque.toFixed(1)} N·m`)],
      ['variant', variant],
    ]);
    return { doubles: { temperature, gap, torque, variant }, amounts };
  });
}

function ways(): readonly Way<Prepared>[] {
  const scope = scopeOf([
    ['variant', { type: 'text', among: ['marram-three', 'marram-four'] }],
    ['temperature', { type: 'amount', kind: 'temperature' }],
    ['gap', { type: 'amount', kind: 'length' }],
    ['torque', { type: 'amount', kind: 'torque' }],
  ]);
  const typed = typeExpression(onAmounts, scope);
  if (!typed.ok || !isCondition(typed.expression)) throw new Error('the precondition is a condition');
  const compiled = compile(typed.expression);
  const lowered = lower(typed.expression);
  const built = new LogicEngine().build(onNumbers);
  const ask = asked({
    all: [
      { fact: 'variant', operator: 'equal', value: 'marram-four' },
      { fact: 'temperature', operator: 'greaterThanInclusive', value: 15 },
      {
        any: [
          { fact: 'gap', operator: 'lessThan', value: 2.05 },
          { fact: 'torque', operator: 'greaterThan', value: 12.5 },
        ],
      },
    ],
  });
  return [
    {
      name: 'Ferrule, compiled',
      decide: ({ amounts }) => compiled((name) => amounts.get(name)).truth === true,
    },
    {
      name: 'Ferrule, with its explanation',
      decide: ({ amounts }) => evaluate(lowered, (name) => amounts.get(name)).truth === true,
    },
    { name: 'json-logic-js', decide: ({ doubles }) => jsonLogic.apply(onNumbers, doubles) === true },
    { name: 'json-logic-engine, built', decide: ({ doubles }) => built(doubles) === true },
    { name: 'json-rules-engine', decide: ({ doubles }) => ask(doubles) },
    {
      name: 'by hand, on doubles',
      decide: ({ doubles: { temperature, gap, torque, variant } }) =>
        variant === 'marram-four' && temperature >= 15 && (gap < 2.05 || torque > 12.5),
    },
  ];
}

/** A precondition over three readings and the variant. */
export async function measurePrecondition(): Promise<readonly Row[]> {
  const all = ways();
  const inputs = inputsOf(512);
  for (const input of inputs) {
    const answers = await Promise.all(all.map((way) => way.decide(input)));
    if (new Set(answers).size !== 1) throw new Error(`the answers differ: ${answers.join(', ')}`);
  }
  return rowsOf(
    'a precondition: three comparisons and a text',
    await contest(all.map((way) => over(way, inputs))),
  );
}

const isCondition = (typed: Typed): typed is TypedTruth => typed.type.type === 'truth';
