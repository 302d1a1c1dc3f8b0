import { examine } from '@ferrule/check';
import { type Pack, type Plan, Report, resolve } from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { advance, startControl, waysOn } from '../../packages/engine/src/job/index.ts';
import { inFolder, probed } from './check.ts';
import { median } from './contest.ts';
import { planFor, readDemoPack } from './demo-pack.ts';
import { type Growth, grownDocument, packOf, STRETCHED, withCylinders } from './grown-packs.ts';
import { duration, type Row, significant } from './row.ts';

const STEPS = [50, 500, 5000] as const;
/** Where each reading has a way back, a strike of each is tried all along the rest. */
const FEWER_STEPS = [50, 150, 450] as const;
const DEPTHS = [1, 2, 3, 4, 5, 6] as const;
const CYLINDERS = [3, 4, 5, 6, 8, 10, 12, 16] as const;
/** The plain search gives up there. */
const MOST_STATES = 300_000;
const MOST_MILLISECONDS = 15_000;

/** How the time of a check grows with what a pack holds. Ratios are of what one step, bore or level takes. */
export async function measureGrowth(): Promise<readonly Row[]> {
  const demo = await readDemoPack();
  explore(planOf(packOf(grownDocument({ steps: 150, wayBack: true }))));
  return [
    ...grownBySteps('proof by steps, without strikes', STEPS, {}, true),
    ...grownBySteps('proof by steps, a strike leads to a hold', STEPS, {}),
    ...grownBySteps('proof by steps, a strike has a way back', FEWER_STEPS, { wayBack: true }),
    ...rulesBySteps(),
    ...wholeBySteps(),
    ...grownByDepth(),
    ...grownByBores(demo),
    ...besidePlainSearch(demo),
  ];
}

function planOf(pack: Pack): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure: 'main', variant: 'only' });
  if (plan === undefined) throw new Error(JSON.stringify(diagnostics.slice(0, 3)));
  return plan;
}

/** Median nanoseconds of a piece of work; of few runs if it is long. */
function timed(work: () => unknown): number {
  const times: number[] = [];
  let spent = 0;
  while (times.length < 5 && spent < 1e9) {
    const before = process.hrtime.bigint();
    work();
    const nanoseconds = Number(process.hrtime.bigint() - before);
    times.push(nanoseconds);
    spent += nanoseconds;
  }
  return median(times);
}

/** Rows in which each value is divided by how much there was, and compared with the first. */
function perUnit(
  measure: string,
  unit: string,
  found: readonly {
    readonly of: string;
    readonly size: number;
    readonly spent: number;
    readonly more?: string;
  }[],
): readonly Row[] {
  const [first] = found;
  const one = (first?.spent ?? Number.NaN) / (first?.size ?? Number.NaN);
  return found.map(({ of, size, spent, more = '' }) => ({
    measure,
    of,
    value: `${duration(spent)}, ${duration(spent / size)} a ${unit}${more}`,
    ratio: `× ${significant(spent / size / one)}`,
  }));
}

const saysProof = (plan: Plan, withoutStrikes: boolean): string => {
  const { states, strikes, refutations, cutShort } = explore(plan, { withoutStrikes });
  if (refutations.length > 0)
    throw new Error(`${plan.procedure.id}: ${JSON.stringify(refutations[0]?.property)}`);
  const counted = [states, strikes].map((number) => number.toLocaleString('en'));
  return `; ${counted[0]} states${withoutStrikes ? '' : `, ${counted[1]} strikes`}${cutShort ? ', cut short' : ''}`;
};

const grownBySteps = (
  measure: string,
  sizes: readonly number[],
  more: Omit<Growth, 'steps'>,
  withoutStrikes = false,
): readonly Row[] =>
  perUnit(
    measure,
    'step',
    sizes.map((steps) => {
      const plan = planOf(packOf(grownDocument({ ...more, steps })));
      return {
        of: `${steps.toLocaleString('en')} steps`,
        size: steps,
        spent: timed(() => explore(plan, { withoutStrikes })),
        more: saysProof(plan, withoutStrikes),
      };
    }),
  );

const rulesBySteps = (): readonly Row[] =>
  perUnit(
    'the kinds of diagnostic by steps',
    'step',
    STEPS.map((steps) => {
      const pack = packOf(grownDocument({ steps }));
      const work = (): void => {
        // What is gathered once for a pack is gathered anew: it is kept by the pack and by its plans.
        const fresh = { ...pack };
        const report = new Report();
        const { plan } = resolve(fresh, { procedure: 'main', variant: 'only' }, report);
        const plans = plan === undefined ? [] : [plan];
        examine({ pack: fresh, plans, report }, 'written');
        examine({ pack: fresh, plans, report }, 'resolved');
      };
      return { of: `${steps.toLocaleString('en')} steps, resolved as well`, size: steps, spent: timed(work) };
    }),
  );

const wholeBySteps = (): readonly Row[] =>
  perUnit(
    'a whole check by steps, cold',
    'step',
    STEPS.map((steps) =>
      inFolder(grownDocument({ steps }), (pack) => {
        const { spent, memory } = probed(pack);
        const whole = Object.values(spent).reduce((a, b) => a + b, 0);
        const parts = (['read', 'resolve', 'rules', 'proof'] as const)
          .map((part) => `${part} ${duration(spent[part] * 1e6)}`)
          .join(', ');
        return {
          of: `${steps.toLocaleString('en')} steps`,
          size: steps,
          spent: whole * 1e6,
          more: `; ${parts}; ${significant(memory / 1e6)} MB`,
        };
      }),
    ),
  );

const grownByDepth = (): readonly Row[] =>
  perUnit(
    'proof by reworks in one another, 200 steps',
    'level',
    DEPTHS.map((depth) => {
      const plan = planOf(packOf(grownDocument({ steps: 200, depth })));
      return {
        of: `${depth} deep, ${plan.nodes.length.toLocaleString('en')} nodes`,
        size: depth,
        spent: timed(() => explore(plan)),
        more: saysProof(plan, false),
      };
    }),
  );

/** One exploration, of a plan that takes long: until the time is over that a check gives its proofs. */
function oneRun(plan: Plan): { readonly spent: number; readonly more: string } {
  const before = process.hrtime.bigint();
  const until = performance.now() + 60_000;
  const { states, strikes, cutShort } = explore(plan, { isOver: () => performance.now() > until });
  const [a, b] = [states, strikes].map((number) => number.toLocaleString('en'));
  const spent = Number(process.hrtime.bigint() - before);
  return { spent, more: `; ${a} states, ${b} strikes${cutShort ? ', cut short' : ''}` };
}

/** The demonstration pack for engines with ever more cylinders. Its main procedure grows with them, and so does its plan. */
const grownByBores = (demo: Pack): readonly Row[] =>
  perUnit(
    'proof by bores, the demonstration pack',
    'bore',
    CYLINDERS.map((cylinders) => {
      const plan = planFor(withCylinders(demo, cylinders), STRETCHED);
      const { spent, more } = oneRun(plan);
      return {
        of: `${cylinders} bores, ${plan.nodes.length.toLocaleString('en')} nodes`,
        size: cylinders,
        spent,
        more,
      };
    }),
  );

/** Every state told apart by all of its bytes, as it comes to mind first: a queue, a set, and the same `advance`. */
function plainSearch(plan: Plan): { readonly states: number; readonly isWhole: boolean } {
  const nameOf = ({ bytes, at, hold, closed }: ReturnType<typeof startControl>): string =>
    `${at} ${hold} ${closed} ${Buffer.from(bytes).toString('latin1')}`;
  let waiting = [startControl(plan)];
  const seen = new Set(waiting.map(nameOf));
  const until = performance.now() + MOST_MILLISECONDS;
  while (waiting.length > 0) {
    const next: typeof waiting = [];
    for (const control of waiting) {
      if (seen.size > MOST_STATES || performance.now() > until) return { states: seen.size, isWhole: false };
      for (const signal of waysOn(plan, control)) {
        const after = advance(plan, control, signal);
        const name = nameOf(after);
        if (seen.has(name)) continue;
        seen.add(name);
        next.push(after);
      }
    }
    waiting = next;
  }
  return { states: seen.size, isWhole: true };
}

function besidePlainSearch(demo: Pack): readonly Row[] {
  const plans = [
    { name: '50 steps', plan: planOf(packOf(grownDocument({ steps: 50 }))) },
    { name: 'marram-three', plan: planFor(demo, 'marram-three') },
  ];
  return plans.flatMap(({ name, plan }): readonly Row[] => {
    const measure = `proof of ${name}, without strikes`;
    const ours = timed(() => explore(plan, { withoutStrikes: true }));
    const before = process.hrtime.bigint();
    const { states, isWhole } = plainSearch(plan);
    const plain = Number(process.hrtime.bigint() - before);
    return [
      {
        measure,
        of: 'Ferrule, states told apart by what is still read',
        value: `${duration(ours)}${saysProof(plan, true)}`,
        ratio: '× 1.00',
      },
      {
        measure,
        of: 'a plain search, by all bytes',
        value: `${duration(plain)}; ${isWhole ? '' : 'given up after '}${states.toLocaleString('en')} states`,
        ratio: `${isWhole ? '' : 'more than '}× ${significant(plain / ours)}`,
      },
    ];
  });
}
