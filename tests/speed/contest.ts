/** One way to do a piece of work. `run` does it `count` times over the same inputs, and may be asynchronous. */
export interface Contestant {
  readonly name: string;
  run(count: number): unknown;
}

/** A question that a library answers with yes or no. */
export interface Way<T> {
  readonly name: string;
  decide(one: T): boolean | Promise<boolean>;
}

/** A contestant that asks about the same inputs again and again, one after the other. */
export function over<T>(way: Way<T>, inputs: readonly T[]): Contestant {
  const { name } = way;
  const [first] = inputs;
  const isAsynchronous = first !== undefined && way.decide(first) instanceof Promise;
  if (isAsynchronous) {
    const run = async (count: number): Promise<number> => {
      let held = 0;
      for (let index = 0; index < count; index++) {
        const one = inputs[index % inputs.length];
        if (one !== undefined && (await way.decide(one))) held++;
      }
      return held;
    };
    return { name, run };
  }
  const run = (count: number): number => {
    let held = 0;
    for (let index = 0; index < count; index++) {
      const one = inputs[index % inputs.length];
      if (one !== undefined && way.decide(one) === true) held++;
    }
    return held;
  };
  return { name, run };
}

export interface Timing {
  readonly name: string;
  /** Median over the rounds, nanoseconds for one piece of work. */
  readonly nanoseconds: number;
}

const ROUNDS = 15;
const ROUND_MILLISECONDS = 25;

/**
 * Times contestants in turns, so that whatever else the machine does meets all of them alike. Each is warmed up, then
 * given as many pieces of work a round as fill the time of a round. Results have to be compared before.
 */
export async function contest(
  contestants: readonly Contestant[],
  rounds = ROUNDS,
): Promise<readonly Timing[]> {
  const counts: number[] = [];
  for (const contestant of contestants) counts.push(await warmUp(contestant));
  const found: number[][] = contestants.map(() => []);
  for (let round = 0; round < rounds; round++) {
    for (const [place, contestant] of contestants.entries()) {
      const count = counts[place] ?? 1;
      found[place]?.push((await timed(contestant, count)) / count);
    }
  }
  return contestants.map(({ name }, place) => ({ name, nanoseconds: median(found[place] ?? []) }));
}

/** Runs until the contestant is warm; answers how many pieces of work fill a round. */
async function warmUp(contestant: Contestant): Promise<number> {
  let count = 1;
  let spent = 0;
  for (;;) {
    const nanoseconds = await timed(contestant, count);
    spent += nanoseconds;
    const filling = Math.max(1, Math.round((count * ROUND_MILLISECONDS * 1e6) / Math.max(nanoseconds, 1)));
    if (spent > 20 * ROUND_MILLISECONDS * 1e6) return filling;
    count = Math.min(filling, count * 4);
  }
}

async function timed(contestant: Contestant, count: number): Promise<number> {
  const before = process.hrtime.bigint();
  const answer = contestant.run(count);
  if (answer instanceof Promise) await answer;
  return Number(process.hrtime.bigint() - before);
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}
