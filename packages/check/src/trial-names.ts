import {
  type Entry,
  nearest,
  type Pack,
  type Plan,
  pointerTo,
  resolve,
  saysUnknown,
  type Trial,
} from '@ferrule/engine';
import { idleAnswers, observationNamed } from './answers.ts';
import type { Finding, Subject } from './diagnostics/diagnostic-kind.ts';
import { writtenNodes } from './written-steps.ts';

/** Names in trials that mean nothing: what they run, what they answer, where something happens and what they expect. */
export function* unknownInTrials(subject: Subject): Generator<Finding> {
  const { pack } = subject;
  const planOf = planFinder(subject);
  const trials = pack.trials ?? {};
  const procedures = Object.keys(pack.procedures);
  const variants = Object.keys(pack.variants);
  const laws = (pack.interlocks ?? []).map((law) => law.law);
  const declared = declaredNames(pack);
  for (const [name, trial] of Object.entries(trials)) {
    const pointer = pointerTo('/trials', name);
    const references = [
      ['procedure', trial.procedure, procedures, ['procedure']],
      ['variant', trial.variant, variants, ['variant']],
      ['trial', trial.like, Object.keys(trials), ['like']],
      ['law', trial.expect.law, laws, ['expect', 'law']],
    ] as const;
    for (const [what, value, known, keys] of references) {
      if (value !== undefined && !known.includes(value))
        yield { pointer: pointerTo(pointer, ...keys), ...saysUnknown(what, value, known) };
    }
    const plan = planOf(trial);
    if (plan === undefined) continue;
    yield* unknownAnswers(trial, plan, pointer, declared);
    yield* unknownPlaces(trial, plan, pointer);
    yield* unknownInstruments(trial, pack, pointer);
    yield* unknownStates(trial, plan, pointer, pack);
    yield* unknownResults(trial, plan, pointer, declared);
  }
}

/**
 * Everything that a pack declares or binds a name for. What is declared and has no place in a job is no slip of the pen:
 * running the trial says so.
 */
function declaredNames(pack: Pack): ReadonlySet<string> {
  const names = new Set<string>();
  const add = (section: object | undefined): void => {
    for (const name of Object.keys(section ?? {})) names.add(name);
  };
  for (const section of [pack.roles, pack.instruments, pack.parts, pack.fields, pack.holds, pack.procedures])
    add(section);
  for (const one of Object.values(pack.procedures))
    for (const section of [one.readings, one.observations, one.tolerances, one.holds]) add(section);
  for (const { node } of writtenNodes(pack))
    if ('perform' in node && node.as !== undefined) names.add(node.as);
  return names;
}

/** What a trial may name in a plan, under each of its names. */
interface NamesOfPlan {
  readonly paths: readonly string[];
  /** The paths of its nodes, and their ends. */
  readonly places: ReadonlySet<string>;
  readonly entries: ReadonlySet<string>;
  readonly judged: ReadonlySet<string>;
}

const made = new WeakMap<Plan, NamesOfPlan>();

/** There are many trials and few plans, so that the names of each are gathered once. */
function namesOf(plan: Plan): NamesOfPlan {
  const known = made.get(plan);
  if (known !== undefined) return known;
  const { nodes, entries, tolerances, selections } = plan;
  const paths = nodes.map((node) => node.path);
  const places = new Set(paths);
  for (const path of paths)
    for (let at = path.indexOf('/'); at >= 0; at = path.indexOf('/', at + 1)) places.add(path.slice(at + 1));
  const names: NamesOfPlan = {
    paths,
    places,
    entries: new Set(entries.flatMap((one) => endsOf(one.name))),
    judged: new Set(
      [...tolerances, ...selections, ...entries.filter(isJudged)].flatMap((one) => endsOf(one.name)),
    ),
  };
  made.set(plan, names);
  return names;
}

const isDeclared = (name: string, declared: ReadonlySet<string>): boolean =>
  (name.split('@')[0] ?? '').split('.').every((part) => declared.has(part));

/** Finds what a trial runs; nothing where that is not known or has faults of its own. */
function planFinder({ pack, plans, report }: Subject): (trial: Trial) => Plan | undefined {
  const found = new Map<string, Plan>(
    plans.map((plan) => [`${plan.procedure.id} ${plan.variant.id}`, plan] as const),
  );
  // With faults about, a plan that is not there was tried already, or would have the same.
  if (report.hasErrors) return ({ procedure, variant }) => found.get(`${procedure} ${variant}`);
  return ({ procedure, variant }) => {
    const key = `${procedure} ${variant}`;
    if (
      !found.has(key) &&
      Object.hasOwn(pack.procedures, procedure) &&
      Object.hasOwn(pack.variants, variant)
    ) {
      const { plan } = resolve(pack, { procedure, variant });
      if (plan !== undefined) found.set(key, plan);
    }
    return found.get(key);
  };
}

const titles = {
  persons: 'role',
  instruments: 'instrument',
  readings: 'reading',
  carried: 'reading to take over',
  observations: 'observation',
  identities: 'part to identify',
  fields: 'field',
  held: 'reading during which something has to hold',
  releases: 'hold',
} as const;

function* unknownAnswers(
  { answers = {} }: Trial,
  plan: Plan,
  pointer: string,
  declared: ReadonlySet<string>,
): Generator<Finding> {
  const of = plan.procedure.id;
  const bores = boresOf(plan);
  for (const { section, name, meant } of idleAnswers(plan, answers)) {
    const [, bore] = /@(\d+)/.exec(name) ?? [];
    if (isDeclared(name, declared)) {
      if (bore === undefined || bores.size === 0 || bores.has(Number(bore))) continue;
      const known = [...bores].sort((a, b) => a - b).join(', ');
      yield {
        pointer: pointerTo(pointer, 'answers', section, name),
        marks: 'key',
        message: `There is no bore ${bore} in ${plan.variant.id}, and ${name} is never asked for.`,
        remedy: `Its bores are ${known}.`,
      };
      continue;
    }
    const { message, remedy } = saysUnknown(titles[section], name, meant === undefined ? [] : [meant], of);
    yield {
      pointer: pointerTo(pointer, 'answers', section, name),
      marks: 'key',
      message,
      remedy: meant === undefined ? 'Nothing there asks for it. Take it out, or correct its name.' : remedy,
    };
  }
  for (const [name, given] of Object.entries(answers.observations ?? {})) {
    const entry = observationNamed(plan, name);
    if (entry === undefined) continue;
    const known = entry.answers.map((one) => one.id);
    for (const [number, answer] of [given].flat().entries()) {
      if (known.includes(answer)) continue;
      const at = pointerTo(
        pointer,
        'answers',
        'observations',
        name,
        ...(Array.isArray(given) ? [number] : []),
      );
      yield { pointer: at, ...saysUnknown('answer', answer, known, name) };
    }
  }
}

/** Kinds of instrument that an event allows. */
function* unknownInstruments(
  { events = [] }: Trial,
  { instruments = {} }: Pack,
  pointer: string,
): Generator<Finding> {
  const known = Object.keys(instruments);
  for (const [number, { allow }] of events.entries()) {
    if (allow === undefined || known.includes(allow)) continue;
    yield {
      pointer: pointerTo(pointer, 'events', number, 'allow'),
      ...saysUnknown('instrument', allow, known),
    };
  }
}

function* unknownPlaces({ placed, events = [] }: Trial, plan: Plan, pointer: string): Generator<Finding> {
  const names = namesOf(plan);
  const named = [
    ...(placed === undefined ? [] : [[placed.at, ['placed', 'at']] as const]),
    ...events.map((event, number) => [event.at, ['events', number, 'at']] as const),
  ];
  for (const [at, keys] of named) {
    if (names.places.has(at)) continue;
    const meant = nearestPath(at, names.paths);
    const { message } = saysUnknown('step', at, [], plan.procedure.id);
    yield {
      pointer: pointerTo(pointer, ...keys),
      message,
      remedy:
        meant === undefined
          ? 'Write its path as run and check print it, or the end of it.'
          : `Did you mean ${meant}?`,
    };
  }
  for (const [number, { strike }] of events.entries()) {
    if (strike === undefined || names.entries.has(strike)) continue;
    const says = saysUnknown('entry', strike, names.entries, plan.procedure.id);
    yield { pointer: pointerTo(pointer, 'events', number, 'strike'), ...says };
  }
}

function* unknownStates({ placed }: Trial, plan: Plan, pointer: string, pack: Pack): Generator<Finding> {
  const states = plan.cells.flatMap((one) => (one.cell === 'state' ? [one] : []));
  for (const [name, value] of Object.entries(placed?.states ?? {})) {
    const state = states.find((one) => one.name === name);
    const at = pointerTo(pointer, 'placed', 'states', name);
    if (state === undefined) {
      const names = states.map((one) => one.name);
      yield { pointer: at, marks: 'key', ...saysUnknown('state', name, names, plan.variant.id) };
    } else if (!state.values.includes(value)) {
      yield { pointer: at, ...saysUnknown('value', value, state.values, name) };
    }
  }
  const { positions } = plan.crank;
  // A mark that is at fault itself may have no position, and was named rightly.
  const marks = Object.keys(pack.variants[plan.variant.id]?.marks ?? {});
  const known = [
    'unknown',
    ...marks,
    ...positions.flatMap((one) => [one.mark ?? [], one.title, `${one.at.toDecimal(0)}°`].flat()),
  ];
  if (placed?.crank !== undefined && !known.includes(placed.crank))
    yield {
      pointer: pointerTo(pointer, 'placed', 'crank'),
      ...saysUnknown('crank position', placed.crank, known, plan.variant.id),
    };
}

function* unknownResults(
  { expect }: Trial,
  plan: Plan,
  pointer: string,
  declared: ReadonlySet<string>,
): Generator<Finding> {
  const at = pointerTo(pointer, 'expect');
  const holds = plan.holds.map((one) => one.id);
  const expected = [
    ...(expect.hold === undefined ? [] : [[expect.hold, ['hold']] as const]),
    ...(expect.holds ?? []).map((hold, number) => [hold, ['holds', number]] as const),
  ];
  for (const [hold, keys] of expected) {
    if (holds.includes(hold) || declared.has(hold)) continue;
    yield {
      pointer: pointerTo(at, ...keys),
      ...saysUnknown('hold', hold, new Set(holds), plan.procedure.id),
    };
  }
  const { judged } = namesOf(plan);
  for (const name of Object.keys(expect.verdicts ?? {})) {
    if (judged.has(name)) continue;
    const [, bore] = /@(\d+)/.exec(name) ?? [];
    const bores = boresOf(plan);
    if (isDeclared(name, declared) && (bore === undefined || bores.size === 0 || bores.has(Number(bore))))
      continue;
    const says = isDeclared(name, declared)
      ? {
          message: `There is no bore ${bore} in ${plan.variant.id}, and ${name} is never judged.`,
          remedy: `Its bores are ${[...bores].sort((a, b) => a - b).join(', ')}.`,
        }
      : saysUnknown('tolerance', name, judged, plan.procedure.id);
    yield { pointer: pointerTo(at, 'verdicts', name), marks: 'key', ...says };
  }
}

/** The bores of the engine, as far as a plan knows them: those that its states, parts and entries have. */
const boresOf = ({ cells, entries }: Plan): ReadonlySet<number> =>
  new Set([
    ...cells.flatMap(({ name }) => /@(\d+)$/.exec(name)?.slice(1).map(Number) ?? []),
    ...entries.flatMap(({ bore }) => bore ?? []),
  ]);

const isJudged = ({ judgedBy }: Entry): boolean => judgedBy.length > 0;

/** The names under which a trial may speak of an instance: `fit.gap@3`, `gap@3`, and the same without their place. */
function endsOf(name: string): readonly string[] {
  const parts = name.split('.');
  const ends = parts.map((_, from) => parts.slice(from).join('.'));
  return [...ends, ...ends.map((end) => end.split('@')[0] ?? end)];
}

/** The end of a path that was most likely meant: as many steps of it, of which one is written a little otherwise. */
function nearestPath(at: string, paths: readonly string[]): string | undefined {
  const wanted = at.split('/');
  for (const path of paths) {
    const end = path.split('/').slice(-wanted.length);
    const other = end.flatMap((part, index) =>
      part === wanted[index] ? [] : [[wanted[index] ?? '', part] as const],
    );
    const [[typed, part] = ['', '']] = other;
    if (end.length === wanted.length && other.length === 1 && nearest(typed, [part]) !== undefined)
      return end.join('/');
  }
  return nearest(at, new Set(paths));
}
