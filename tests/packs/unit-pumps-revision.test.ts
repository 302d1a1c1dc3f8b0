import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { runTrials } from '@ferrule/check';
import {
  type Amount,
  type Check,
  compareAmounts,
  type Decision,
  type Guard,
  type Kind,
  type Pack,
  type Plan,
  type PlanNode,
  type PlanTolerance,
  parseQuantity,
  Rational,
  type Remedy,
  resolve,
  type Test,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack, type SourceMapping, type SourceValue } from '@ferrule/source';
import { beforeAll, describe, expect, test } from 'vitest';

/*
 * The two revisions of the unit pumps differ in what the changelog of 1.1.0 names, and in nothing else. What was changed
 * on purpose stands here as it was and as it is.
 */
interface Revision {
  readonly document: SourceMapping;
  readonly pack: Pack;
  readonly digest: string;
}

const specs = join(import.meta.dirname, '../../specs');

async function read(name: string): Promise<Revision> {
  const { document } = await readPack(join(specs, name));
  return { document, pack: valid(document), digest: bundleOf(document).digest };
}

function valid(document: SourceMapping): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(diagnostics[0]?.message ?? 'not valid');
  return pack;
}

function planOf(pack: Pack, variant: string): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure: 'install-and-synchronise', variant });
  if (plan === undefined) throw new Error(diagnostics[0]?.message ?? 'no plan');
  return plan;
}

let before: Revision;
let after: Revision;
beforeAll(async () => {
  [before, after] = await Promise.all([read('marram-unit-pumps/1.0.0'), read('marram-unit-pumps/1.1.0')]);
});

type Edit = readonly [where: string, from: string, to: string];

/** Everything that was changed in a text of the pack, file by file: where it stands, what it was, what it is. */
const edits: readonly Edit[] = [
  ['/revision', '"1.0.0"', '"1.1.0"'],
  ['/procedures/install-and-synchronise/tolerances/drift-limits/deviation', '"0.016 mm"', '"0.012 mm"'],
  ['/procedures/first-start/tolerances/oil-pressure-limit/at-least', '"1.3 bar"', '"130 kPa"'],
  ['/procedures/first-start/readings/idle-speed/instrument', '"tachometer"', '"optical-tachometer"'],
  ['/procedures/first-start/readings/highest-speed/instrument', '"tachometer"', '"optical-tachometer"'],
  ['/procedures/install-and-synchronise/preliminary/equipment/22', '"tachometer"', '"optical-tachometer"'],
  [
    '/procedures/removal/steps/1/steps/0/steps/6/do',
    '"Cap the nozzle bore, the outlet of the pump and both ends of the line of cylinder {bore}."',
    '"Cap the four open ports of cylinder {bore}: nozzle bore, pump outlet and both ends of the line."',
  ],
];

const added: readonly string[] = [
  '/procedures/close/steps/3/steps/1/hazards/1',
  '/procedures/install-and-synchronise/variants/3',
  '/variants/marram-six',
  '/instruments/optical-tachometer',
];

/** What stands at each place of a document, down to its texts. */
function placesOf(value: SourceValue, at = '', found = new Map<string, string>()): Map<string, string> {
  if (typeof value !== 'object' || value === null) return found.set(at, JSON.stringify(value));
  for (const [key, part] of Object.entries(value)) placesOf(part, `${at}/${key}`, found);
  return found;
}

const withoutTrials = ({ document: { trials: _, ...rest } }: Revision): SourceMapping => rest;

/** The places of a revision, those of the one moved step left out and looked at by themselves. */
function written(revision: Revision): Map<string, string> {
  const places = placesOf(withoutTrials(revision));
  for (const at of [...places.keys()])
    if (at.startsWith('/procedures/fuel-and-oil/steps/')) places.delete(at);
  return places;
}

describe('what is written', () => {
  test('differs in each text that was changed on purpose, and in no other', () => {
    const [old, now] = [written(before), written(after)];
    const changed = [...old].flatMap(([at, text]): readonly Edit[] => {
      const there = now.get(at);
      return there === undefined || there === text ? [] : [[at, text, there]];
    });
    expect([...changed].sort()).toEqual([...edits].sort());
  });

  test('has something more only where the changelog says so', () => {
    const [old, now] = [written(before), written(after)];
    const more = [...now.keys()].filter((at) => !old.has(at));
    const places = added.filter((one) => more.some((at) => at === one || at.startsWith(`${one}/`)));
    expect(places).toEqual(added);
    expect(more.filter((at) => !added.some((one) => at === one || at.startsWith(`${one}/`)))).toEqual([]);
  });

  test('has nothing less, but for the name of the instrument', () => {
    const [old, now] = [written(before), written(after)];
    const gone = [...old.keys()].filter((at) => !now.has(at));
    expect(gone.length).toBeGreaterThan(0);
    expect(gone.filter((at) => !at.startsWith('/instruments/tachometer/'))).toEqual([]);
  });

  test('one step stands elsewhere, with its rework: the oil is dipped before the tap is opened', () => {
    const [old = [], now = []] = [before, after].map(({ pack }) => pack.procedures['fuel-and-oil']?.steps);
    const ids = (steps: typeof old): readonly unknown[] => steps.map((one) => 'step' in one && one.step);
    expect(ids(old)).toEqual(['open-tap', 'bleed', 'close-bleed-screw', 'look-for-leaks', 'dip-oil']);
    expect(ids(now)).toEqual(['dip-oil', 'open-tap', 'bleed', 'close-bleed-screw', 'look-for-leaks']);
    expect([...now.slice(1), now[0]]).toEqual(old);
  });

  test('the renamed instrument has the same figures', () => {
    const old = before.pack.instruments?.['tachometer'];
    const now = after.pack.instruments?.['optical-tachometer'];
    expect([old?.title, now?.title]).toEqual(['Tachometer, optical', 'Optical tachometer']);
    expect({ ...now, title: '' }).toEqual({ ...old, title: '' });
  });

  test('the six-cylinder is the one of the library of engines', async () => {
    const { document } = await readPack(join(specs, 'marram-inline-timing/1.0.0'));
    const library = valid(document).variants['marram-six'];
    const here = after.pack.variants['marram-six'];
    for (const key of ['title', 'cylinders', 'firing-order', 'running-direction', 'marks'] as const)
      expect([key, here?.[key]]).toEqual([key, library?.[key]]);
    expect(here?.['firing-order']).toEqual(['1', '5', '3', '6', '2', '4']);
    for (const fact of ['idle-low', 'idle-high', 'top-speed'])
      expect([fact, here?.facts?.[fact]]).toEqual([fact, library?.facts?.[fact]]);
  });
});

/**
 * Each node by its path, in the order of the plan: what it says and asks for, and where it leads, by the paths and names
 * of what it leads to. Numbers of nodes, cells and entries are left out.
 */
function nodesOf(plan: Plan): ReadonlyMap<string, object> {
  const { nodes, entries, cells, tolerances } = plan;
  const pathAt = (index: number): string => nodes[index]?.path ?? 'nothing';
  const holdAt = (index: number): string => plan.holds[index]?.id ?? 'nothing';
  const cellAt = (index: number): unknown => plain(cells[index]?.name);
  const remedy = (one: Remedy | undefined): unknown => {
    if (one === undefined) return undefined;
    if (one.remedy === 'hold') return holdAt(one.hold);
    return [pathAt(one.body), one.attempts, holdAt(one.exhausted)];
  };
  const test = (one: Test): unknown => {
    if ('cell' in one) return [cellAt(one.cell), one.among];
    if ('not' in one) return { not: test(one.not) };
    return 'all' in one ? { all: one.all.map(test) } : { any: one.any.map(test) };
  };
  const decision = (one: Decision | undefined): unknown => {
    if (one === undefined) return undefined;
    return one.by === 'test' ? test(one.test) : plan.conditions[one.condition]?.says;
  };
  const guards = (all: readonly Guard[]): unknown => all.map((one) => [one.because, test(one.test)]);
  const checked = (one: Check | undefined): unknown => {
    if (one === undefined) return undefined;
    if (one.check === 'tolerance')
      return [tolerances[one.tolerance]?.name, ...[one.high, one.low, one.inconclusive].map(remedy)];
    const of = one.check === 'stock' ? one.check : entries[one.entry]?.name;
    return [one.check, of, remedy(one.nonconforming)];
  };
  const saidBy = (node: PlanNode): object => {
    if (node.node === 'block')
      return {
        title: node.title,
        counters: node.counters.map(cellAt).sort(),
        to: pathAt(node.resumes?.at ?? -1),
      };
    if (node.node === 'choose')
      return {
        cases: node.cases.map((one) => [one.says, decision(one.when), pathAt(one.body)]),
        otherwise: pathAt(node.otherwise),
      };
    if (node.node === 'hold') return { hold: holdAt(node.hold) };
    return {
      ...{ says: node.act?.says, act: plain({ ...node.act, says: '' }), hazards: node.hazards },
      ...{ title: node.title, acknowledge: node.acknowledge, uses: node.uses, operations: node.operations },
      ...{ guards: guards(node.guards), invariants: guards(node.invariants) },
      effects: node.effects.map((one) => [cellAt(one.cell), 'to' in one ? one.to : one.table]),
      entries: node.entries.map((index) => entries[index]?.name),
      ...{ check: checked(node.check), struck: remedy(node.struck) },
      who: [node.witness, node.together, node.notApplicable],
      disturbs: node.disturbs.map(({ cell }) => cellAt(cell)),
    };
  };
  return new Map(
    nodes.map((node) => [
      node.path,
      {
        node: node.node,
        bore: node.bore,
        onlyIf: decision(node.onlyIf),
        in: pathAt(node.parent),
        ...saidBy(node),
      },
    ]),
  );
}

/** A part of a plan with exact numbers in lowest terms, and without where it stands and the numbers of its nodes. */
function plain(value: unknown): unknown {
  if (value instanceof Rational) return value.toString();
  // The name of a counter ends in the number of its node.
  if (typeof value === 'string') return value.replace(/ #\d+$/, '');
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  const isNumber = (part: unknown): boolean => typeof part === 'number' || Array.isArray(part);
  const kept = Object.entries(value).filter(
    ([key, part]) => key !== 'pointer' && !(numbered.has(key) && isNumber(part)),
  );
  return Object.fromEntries(kept.map(([key, part]) => [key, plain(part)]));
}

const numbered: ReadonlySet<string> = new Set([
  ...['entries', 'cell', 'takers', 'judgedBy', 'decides', 'usedBy', 'truths', 'guards'],
  ...['node', 'body', 'counter', 'partCell', 'matched', 'entry'],
]);

/** The names of those parts of two lists that are not the same, or stand in one of them only. */
function unlike(
  old: readonly object[],
  now: readonly object[],
  nameOf: (one: object) => string,
): readonly string[] {
  const shown = (list: readonly object[]) =>
    new Map(list.map((one) => [nameOf(one), JSON.stringify(plain(one))]));
  const [a, b] = [shown(old), shown(now)];
  return [...new Set([...a.keys(), ...b.keys()])].filter((name) => a.get(name) !== b.get(name)).sort();
}

const named = (one: object): string =>
  'name' in one ? String(one.name) : 'id' in one ? String(one.id) : JSON.stringify(plain(one));

describe.each([
  ['marram-three', 3],
  ['marram-four', 4],
  ['marram-five', 5],
] as const)('the plan for %s', (variant, cylinders) => {
  const bores = Array.from({ length: cylinders }, (_, index) => index + 1);
  let old: Plan;
  let now: Plan;
  beforeAll(() => {
    [old, now] = [planOf(before.pack, variant), planOf(after.pack, variant)];
  });

  test('has the same steps, of which one is reworded in each bore and one says a caution more', () => {
    const [was, is] = [nodesOf(old), nodesOf(now)];
    expect([...is.keys()].sort()).toEqual([...was.keys()].sort());
    const differing = [...was].filter(
      ([path, step]) => JSON.stringify(step) !== JSON.stringify(is.get(path)),
    );
    expect(differing.map(([path]) => path)).toEqual([
      'preliminary/equipment',
      ...bores.map((bore) => `removal/nozzles/bore=${bore}/cap-ports`),
      'close/turn-over/two-turns',
    ]);
    const two = 'close/turn-over/two-turns';
    expect(is.get(two)).toEqual({
      ...was.get(two),
      hazards: ['turning-crankshaft', 'bent-valves'],
    });
    for (const bore of bores) {
      const path = `removal/nozzles/bore=${bore}/cap-ports`;
      const says = `Cap the four open ports of cylinder ${bore}: nozzle bore, pump outlet and both ends of the line.`;
      expect(is.get(path)).toEqual({ ...was.get(path), says });
    }
  });

  test('has them in the same order, but for dipping the oil', () => {
    const [was, is] = [[...nodesOf(old).keys()], [...nodesOf(now).keys()]];
    const isMoved = (path: string): boolean => path.startsWith('fuel-and-oil/dip-oil');
    expect(is.filter((path) => !isMoved(path))).toEqual(was.filter((path) => !isMoved(path)));
    expect(was[was.findIndex(isMoved) - 1]).toMatch(/^fuel-and-oil\/(?!dip-oil)/);
    expect(is[is.findIndex(isMoved) - 1]).toBe('fuel-and-oil');
    expect(is[is.findLastIndex(isMoved) + 1]).toBe('fuel-and-oil/open-tap');
  });

  test('has the same limits, but for the drift, and the oil pressure in another unit', () => {
    expect(unlike(old.tolerances, now.tolerances, named)).toEqual(
      [...bores.map((bore) => `drift-limits@${bore}`), 'first-start.oil-pressure-limit'].sort(),
    );
    const one = ({ tolerances }: Plan, name: string): PlanTolerance => {
      const found = tolerances.find((each) => each.name === name);
      if (found === undefined) throw new Error(`no tolerance ${name}`);
      return found;
    };
    const ofLimits = new Set(['limits', 'says', 'unit', 'decimals']);
    const rest = (tolerance: PlanTolerance): unknown =>
      plain(Object.fromEntries(Object.entries(tolerance).filter(([key]) => !ofLimits.has(key))));
    const same = (left: Amount | undefined, right: string, kind: Kind): void => {
      const read = parseQuantity(right, kind);
      if (left === undefined || !('quantity' in read)) throw new Error(`no limit of ${right}`);
      expect(compareAmounts(left, read.quantity), right).toBe(0);
    };

    const pressure = 'first-start.oil-pressure-limit';
    const [bar, kilopascal] = [one(old, pressure), one(now, pressure)];
    expect(rest(kilopascal)).toEqual(rest(bar));
    expect([bar.says, kilopascal.says]).toEqual(['at least 1.3 bar', 'at least 130 kPa']);
    // 1 bar is 100 kPa exactly (ISO 80000-4:2019, from memory): each limit is the other, and both are 130 000 Pa.
    for (const { limits } of [bar, kilopascal]) {
      for (const written of ['1.3 bar', '130 kPa', '130000 Pa']) same(limits.low, written, 'pressure');
      expect([limits.high, limits.nominal]).toEqual([undefined, undefined]);
    }

    for (const bore of bores) {
      const name = `drift-limits@${bore}`;
      expect(rest(one(now, name))).toEqual(rest(one(old, name)));
      same(one(old, name).limits.low, '-0.016 mm', 'length');
      same(one(old, name).limits.high, '0.016 mm', 'length');
      same(one(now, name).limits.low, '-0.012 mm', 'length');
      same(one(now, name).limits.high, '0.012 mm', 'length');
    }
  });

  test('has the same everything else', () => {
    expect(unlike(old.entries, now.entries, named)).toEqual([
      'first-start.highest-speed',
      'first-start.idle-speed',
    ]);
    expect(unlike(old.instruments, now.instruments, named)).toEqual(['optical-tachometer', 'tachometer']);
    expect(unlike(old.hazards, now.hazards, named)).toEqual([]);
    expect(unlike(old.roles, now.roles, named)).toEqual([]);
    expect([...now.cells.map((one) => JSON.stringify(plain(one)))].sort()).toEqual(
      [...old.cells.map((one) => JSON.stringify(plain(one)))].sort(),
    );
    for (const key of [
      'procedure',
      'variant',
      'persons',
      'dueNext',
      'exports',
      'selections',
      'elapsed',
    ] as const)
      expect([key, plain(now[key])]).toEqual([key, plain(old[key])]);
    expect(plain(now.crank)).toEqual(plain(old.crank));
    const holds = ({ holds: all }: Plan) => all.map((one) => JSON.stringify(plain(one))).sort();
    expect(holds(now)).toEqual(holds(old));
    expect(now.parking?.instructions).toBe(old.parking?.instructions);
  });
});

test('the six-cylinder is set at four stops, each bore on its base circle by at least 50°', () => {
  // Computed: a follower is off its base circle from 70° before the firing TDC of its bore to 250° after it; bores 1 to 6
  // fire at 0°, 480°, 240°, 600°, 120° and 360°. So at 0° it is bore 5 that is nearest to its lobe: 120° − 70° = 50°.
  const { rotation } = planOf(after.pack, 'marram-six').crank;
  const stops = rotation?.stops.map((one) => [one.position.toString(), one.bores]);
  expect(stops).toEqual([
    ['0', [6, 5]],
    ['360', [4]],
    ['0', [3]],
    ['360', [2, 1]],
  ]);
});

test('the changelog names each change, with what was and what is', () => {
  const text = readFileSync(join(specs, 'marram-unit-pumps/1.1.0/CHANGELOG.md'), 'utf8');
  for (const [at, was, is] of edits) {
    const [, , inside = ''] = at.split('/');
    const names = at.startsWith('/procedures/') ? [inside] : [];
    for (const one of [...names, JSON.parse(was), JSON.parse(is)]) expect(text).toContain(one);
  }
  for (const one of [
    'dip-oil',
    'look-for-leaks',
    'open-tap',
    'two-turns',
    'bent-valves',
    'marram-six',
    '1-5-3-6-2-4',
  ])
    expect(text).toContain(`${one}`);
});

test('the trials of 1.0.0 that only the tightened limit and the new name touch are the only ones changed', () => {
  const trials = ({ pack }: Revision): ReadonlyMap<string, string> =>
    new Map(Object.entries(pack.trials ?? {}).map(([name, trial]) => [name, JSON.stringify(trial)]));
  const [old, now] = [trials(before), trials(after)];
  expect(
    [...old]
      .filter(([name, text]) => now.get(name) !== text)
      .map(([name]) => name)
      .sort(),
  ).toEqual(['clean-four', 'drift-in-the-guard-band', 'drift-never-decided', 'set-point-at-its-limits']);
  expect([...now.keys()].filter((name) => !old.has(name)).sort()).toEqual([
    'clean-six',
    'drift-as-it-was-allowed-before',
    'drift-at-both-edges-of-the-guard-band',
    'oil-low-and-then-a-wet-joint',
    'oil-pressure-at-its-limit',
    'six-counts-and-speeds-of-its-own',
    'six-pump-of-another-bore',
    'six-set-again',
    'six-struck-at-the-last-stop',
    'six-with-the-assembly-off',
  ]);
});

test('a drift that 1.0.0 allowed is refused by the limit of 1.1.0', () => {
  const name = 'drift-as-it-was-allowed-before';
  const trial = after.pack.trials?.[name];
  const clean = before.pack.trials?.['clean-four'];
  if (trial === undefined || clean === undefined) throw new Error('no trial');
  // The drift itself conforms with the limits of 1.0.0, so that nothing is set again there.
  const trials = { 'clean-four': clean, [name]: trial };
  const [failures] = runTrials({ ...before.pack, trials }, before.digest)
    .filter((one) => one.trial === name)
    .map((one) => one.failures.join(' '));
  expect(failures).toContain('drift-limits@2');
  expect(failures).toContain('expected nonconforming, conforming, found conforming');
});
