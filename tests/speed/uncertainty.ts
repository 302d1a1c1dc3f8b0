import {
  compileAmount,
  type InstrumentUsed,
  judge,
  judgeReadings,
  type Plan,
  type PlanTolerance,
  parseQuantity,
  type Quantity,
  type TakenReading,
  type Verdict,
} from '@ferrule/engine';
import { contest, over, type Way } from './contest.ts';
import { planFor, readDemoPack } from './demo-pack.ts';
import { randomFrom } from './random.ts';
import { duration, type Row, rowsOf, significant } from './row.ts';

const indicator: InstrumentUsed = { kind: 'fine-dial-indicator', identity: 'DI-11', due: '2099-12-31' };
const INPUTS = 512;

function length(micrometres: number): Quantity {
  const read = parseQuantity(`${(micrometres / 1000).toFixed(4)} mm`, 'length');
  if ('fault' in read) throw new Error(String(micrometres));
  return read.quantity;
}

/**
 * A verdict as a job makes it, with expanded uncertainty and probability of conformity from the instrument that was used,
 * beside the plain comparison of the same value with the same limits. Of one reading, and of the difference of two that
 * were taken with one instrument.
 */
export async function measureUncertainty(): Promise<readonly Row[]> {
  const plan = planFor(await readDemoPack(), 'marram-four');
  return [
    ...(await measured(plan, 'shift-limits@1', 'one reading', (random) => [30 + random(24) / 2])),
    ...(await measured(plan, 'drift-limits@1', 'a difference of two', (random) => [
      36 + random(10) / 2,
      20 + random(70) / 2,
    ])),
  ];
}

async function measured(
  plan: Plan,
  name: string,
  what: string,
  draw: (random: (below: number) => number) => readonly number[],
): Promise<readonly Row[]> {
  const tolerance = plan.tolerances.find((one) => one.name === name);
  if (tolerance === undefined) throw new Error(`there is no ${name}`);
  const random = randomFrom(20_260);
  const inputs = Array.from({ length: INPUTS }, () => takenAs(plan, tolerance, draw(random).map(length)));
  const value = compileAmount(tolerance.value);
  const plainly = (readings: ReadonlyMap<string, TakenReading>): Verdict => {
    const answer = value((one) => readings.get(one)?.quantity);
    return judge(tolerance, 'amount' in answer ? { amount: answer.amount } : { missing: [] });
  };
  const fully = (readings: ReadonlyMap<string, TakenReading>): Verdict =>
    judgeReadings(
      plan,
      tolerance,
      (one) => readings.get(one)?.quantity,
      (one) => readings.get(one),
    ).verdict;
  const made = inputs[0] && fully(inputs[0]);
  if (made === undefined || !('assessment' in made) || made.assessment === undefined)
    throw new Error(`${name} is not assessed`);
  const ways: readonly Way<ReadonlyMap<string, TakenReading>>[] = [
    { name: `Ferrule, ${what}, plain`, decide: (one) => plainly(one).verdict === 'conforming' },
    {
      name: `Ferrule, ${what}, with U and probability`,
      decide: (one) => fully(one).verdict === 'conforming',
    },
  ];
  const timings = await contest(ways.map((way) => over(way, inputs)));
  const [plain = Number.NaN, full = Number.NaN] = timings.map(({ nanoseconds }) => nanoseconds);
  const isMet = full <= 5 * plain && full < 5000;
  return rowsOf('a verdict with its uncertainty', timings).map((row, place) =>
    place === 0
      ? row
      : {
          ...row,
          aim: { says: `5 × plain, 5 µs (${significant(full / plain)} ×, ${duration(full)})`, met: isMet },
        },
  );
}

/** Readings for the entries of a tolerance, all with one instrument. */
function takenAs(
  plan: Plan,
  { entries }: PlanTolerance,
  quantities: readonly Quantity[],
): ReadonlyMap<string, TakenReading> {
  return new Map(
    entries.flatMap((entry, place) => {
      const quantity = quantities[place];
      const name = plan.entries[entry]?.name;
      return quantity === undefined || name === undefined
        ? []
        : [[name, { quantity, instrument: indicator }] as const];
    }),
  );
}
