import {
  compileAmount,
  judge,
  type Limits,
  limitsOf,
  parseQuantity,
  type Quantity,
  Rational,
  scopeOf,
  type TypedAmount,
  typeExpression,
} from '@ferrule/engine';
import { LogicEngine } from 'json-logic-engine';
import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { contest, over, type Way } from './contest.ts';
import { randomFrom } from './random.ts';
import { type Row, rowsOf, significant, timesFaster } from './row.ts';
import { asked } from './rules-engine.ts';

/** Two readings in hundredths of a millimetre, and what their difference may be either way. */
interface Case {
  readonly a: number;
  readonly b: number;
  readonly most: number;
}

/** The same for all: the difference of two readings within 0 ± a limit. Every case has a limit of its own. */
const rule: RulesLogic = {
  and: [
    { '<=': [{ '-': [{ var: 'a' }, { var: 'b' }] }, { var: 'most' }] },
    { '>=': [{ '-': [{ var: 'a' }, { var: 'b' }] }, { var: 'least' }] },
  ],
};

const isWithin = ({ a, b, most }: Case): boolean => Math.abs(a - b) <= most;

/** Differences that lie on the limit or one last digit beside it, on either side of zero. */
function casesAtLimit(count: number): readonly Case[] {
  const random = randomFrom(20_260);
  return Array.from({ length: count }, () => {
    const b = random(5_000);
    const most = 1 + random(2_000);
    const difference = (random(2) === 0 ? 1 : -1) * (most + random(3) - 1);
    return { a: b + difference, b, most };
  });
}

/** A case in the form that each contestant takes: read beforehand, so that only the judging is timed. */
interface Prepared {
  readonly doubles: { readonly a: number; readonly b: number; readonly most: number; readonly least: number };
  readonly texts: { readonly a: string; readonly b: string };
  readonly quantities: { readonly a: Quantity; readonly b: Quantity };
  readonly limits: Limits;
}

const digits = (hundredths: number): string => (hundredths / 100).toFixed(2);

function length(text: string): Quantity {
  const read = parseQuantity(text, 'length');
  if ('fault' in read) throw new Error(text);
  return read.quantity;
}

/** Simple acceptance, warned of from 10 % on, with the usual index of 4: what a pack gets that says nothing. */
const simply = {
  rule: { rule: 'simple', warnAbove: Rational.of(1, 10) },
  capability: Rational.of(4),
} as const;

function prepared({ a, b, most }: Case): Prepared {
  const [low, high] = [length(`-${digits(most)} mm`), length(`${digits(most)} mm`)];
  const limits = limitsOf({ form: 'between', low, high });
  if ('fault' in limits) throw new Error(limits.fault);
  const [texts, limit] = [{ a: `${digits(a)} mm`, b: `${digits(b)} mm` }, Number(digits(most))];
  return {
    doubles: { a: Number(digits(a)), b: Number(digits(b)), most: limit, least: -limit },
    texts,
    quantities: { a: length(texts.a), b: length(texts.b) },
    limits,
  };
}

function ways(): readonly Way<Prepared>[] {
  const scope = scopeOf(['a', 'b'].map((name) => [name, { type: 'amount', kind: 'length' }]));
  const typed = typeExpression({ '-': [{ var: 'a' }, { var: 'b' }] }, scope);
  if (!typed.ok || typed.expression.type.type !== 'amount') throw new Error('the difference is an amount');
  const difference = compileAmount(typed.expression as TypedAmount);
  const conforms = (limits: Limits, a: Quantity, b: Quantity): boolean => {
    const answer = difference((name) => (name === 'a' ? a : b));
    const verdict = judge({ limits, ...simply }, 'amount' in answer ? answer : { missing: answer.missing });
    return verdict.verdict === 'conforming' && verdict.margin.value.sign >= 0;
  };
  const built = new LogicEngine().build(rule);
  const ask = asked({
    all: [
      { fact: 'difference', operator: 'lessThanInclusive', value: { fact: 'most' } },
      { fact: 'difference', operator: 'greaterThanInclusive', value: { fact: 'least' } },
    ],
  });
  return [
    { name: OURS, decide: ({ limits, quantities }) => conforms(limits, quantities.a, quantities.b) },
    {
      name: 'Ferrule, readings as text',
      decide: ({ limits, texts }) => conforms(limits, length(texts.a), length(texts.b)),
    },
    { name: 'json-logic-js', decide: ({ doubles }) => jsonLogic.apply(rule, doubles) === true },
    { name: 'json-logic-engine, built', decide: ({ doubles }) => built(doubles) === true },
    { name: 'json-rules-engine', decide: ({ doubles }) => ask(doubles) },
    {
      name: 'by hand, on doubles',
      decide: ({ doubles: { a, b, most, least } }) => a - b <= most && a - b >= least,
    },
  ];
}

const OURS = 'Ferrule, verdict with margin';
const INPUTS = 512;

/** A judged tolerance: how fast, and how often wrong when the difference lies at its limit. */
export async function measureVerdict(): Promise<readonly Row[]> {
  const all = ways();
  const cases = casesAtLimit(4_096).map((one) => ({ truth: isWithin(one), prepared: prepared(one) }));
  const wrong: number[] = all.map(() => 0);
  const agreed: Prepared[] = [];
  for (const one of cases) {
    const answers = await Promise.all(all.map((way) => way.decide(one.prepared)));
    for (const [place, answer] of answers.entries()) {
      if (answer !== one.truth) wrong[place] = (wrong[place] ?? 0) + 1;
    }
    // Timed is only what all of them answer alike.
    if (answers.every((answer) => answer === one.truth)) agreed.push(one.prepared);
  }
  const inputs = agreed.slice(0, INPUTS);
  if (inputs.length < INPUTS || wrong[0] !== 0) throw new Error('the verdicts do not agree');
  const timings = await contest(all.map((way) => over(way, inputs)));
  const faster = timesFaster(timings, OURS, 'json-logic-js');
  return rowsOf('one verdict: difference within 0 ± limit', timings).map((row, place) => ({
    ...row,
    value: `${row.value}, ${wrong[place] ?? 0} of 4,096 wrong`,
    ...(place === 0
      ? { aim: { says: `5 × json-logic-js (${significant(faster)} ×)`, met: faster >= 5 } }
      : {}),
  }));
}
