import type { Counterexample } from '@ferrule/check';
import {
  findEntry,
  type Guard,
  offers,
  type Pack,
  PHASE,
  type Plan,
  progressOf,
  type Test,
} from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import { inTitles } from '@ferrule/print';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';
import { placeTitle, type ToldWay, tellWay, type Visit } from './told-way.ts';
import { isEither, missedBy, sayValue, sayWanted, whatFails } from './what-fails.ts';

/** A refutation of one plan with the way that shows it, and the other variants in which it shows up too. */
export interface Refuted {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly refutation: Refutation;
  readonly counterexample: Counterexample;
  readonly variants: readonly string[];
  /** The bores at which the same is so. */
  readonly bores: readonly number[];
  readonly positions: Positions;
}

/**
 * What fails, in words of the workshop; the shortest way there as numbered steps, plain stretches of it in one line;
 * how things stand then; whether a job was driven along it; and what an author can do.
 */
export function writeRefutation(refuted: Refuted, number: number): readonly string[] {
  const { plan, pack, refutation, counterexample, variants, bores } = refuted;
  const told = tellWay(plan, pack, counterexample);
  const others = variants.filter((one) => one !== plan.variant.id);
  const places = bores.length > 1 ? [`bores ${[...bores].sort((x, y) => x - y).join(', ')}`] : [];
  const alike = [...others, ...places];
  const also = alike.length === 0 ? '' : `; it is the same for ${alike.join(', ')}`;
  const { length } = told.visits;
  const way =
    length === 0
      ? `This is so as soon as the job starts (${plan.variant.id}${also}).`
      : `The shortest way there for ${plan.variant.id}, ${length} ${length === 1 ? 'step' : 'steps'}${also}:`;
  return [
    wrap(whatFails(plan, pack, refutation, told.last), `${number}. `),
    wrap(way, INDENT),
    ...writeWay(refuted, told),
    ...outcome(refuted, told).map((line) => wrap(line, INDENT)),
    '',
  ];
}

const INDENT = '   ';
const TEXT = '         ';

/** The visits of a way as numbered lines: those that matter in full, the stretches between them in one line each. */
function writeWay({ plan, refutation, positions }: Refuted, told: ToldWay): readonly string[] {
  const lines: string[] = [];
  const shown = shownVisits(plan, refutation, told);
  const { visits } = told;
  for (let from = 0; from < visits.length; ) {
    let until = from;
    while (until < visits.length && !shown.has(until)) until++;
    // One plain step alone takes no more room than a line that says so.
    // What is confirmed before the work is told apart from the work.
    const work = visits.findIndex((one) => !isPreliminary(one));
    if (from < work && work < until && until - from > 1) until = work;
    if (until - from > 1) {
      lines.push(...writeStretch(visits, from, until, positions));
      from = until;
      continue;
    }
    const visit = visits[from];
    if (visit !== undefined) lines.push(...writeVisit(visit, from + 1, positions));
    from++;
  }
  return lines;
}

/** Several visits in one line, and which way was taken where there were others. */
function writeStretch(
  visits: readonly Visit[],
  from: number,
  until: number,
  positions: Positions,
): readonly string[] {
  const first = visits[from];
  const last = visits[until - 1];
  const slice = visits.slice(from, until);
  const stretch = slice.every(isPreliminary)
    ? `what is confirmed before the work${at(positions, first)}`
    : `as written, nothing outside its limits: from ${first?.title ?? ''}${at(positions, first)} to ${last?.title ?? ''}${at(positions, last)}`;
  const choices = slice.flatMap((one, place) => {
    if (one.course !== 'choice') return [];
    const says = one.happens.join('; ');
    return [wrap(`${from + place + 1}: ${one.title}: ${says}`, `${TEXT}  `)];
  });
  return [wrap(stretch, numbered(`${from + 1}–${until}.`), TEXT), ...choices];
}

const isPreliminary = ({ node }: Visit): boolean => node?.path.startsWith('preliminary/') === true;

const numbered = (label: string): string => `${label.padStart(TEXT.length - 1)} `;

function writeVisit(visit: Visit, number: number, positions: Positions): readonly string[] {
  const { title, happens, changes } = visit;
  return [
    wrap(`${title}${at(positions, visit)}`, numbered(`${number}.`), TEXT),
    ...[...happens, ...changes].map((one) => wrap(one, `${TEXT}  `)),
  ];
}

/** Where a step stands in the pack: ` [procedures/fit-pump.yaml:61]`. */
function at(positions: Positions, visit: Visit | undefined): string {
  const span = visit?.node === undefined ? undefined : positions.nearest(visit.node.pointer);
  return span === undefined ? '' : ` [${span.file}:${span.line}]`;
}

/** The visits that say why it fails: whatever goes wrong, the last changes of what is looked at, and the last visit. */
function shownVisits(plan: Plan, refutation: Refutation, { visits }: ToldWay): ReadonlySet<number> {
  const shown = new Set<number>(visits.length === 0 ? [] : [visits.length - 1]);
  for (const cell of watchedCells(plan, refutation)) {
    const last = visits.findLastIndex((one) => one.changed.includes(cell));
    if (last >= 0) shown.add(last);
  }
  const watched = refutation.property === 'judged' ? findEntry(plan, refutation.entry) : undefined;
  const taking = visits.findLastIndex(
    ({ node }) => node?.node === 'step' && watched !== undefined && node.entries.includes(watched),
  );
  if (taking >= 0) shown.add(taking);
  visits.forEach((one, index) => {
    if (one.course === 'turn') shown.add(index);
  });
  return shown;
}

/** The cells that the refuted property looks at. */
function watchedCells(plan: Plan, refutation: Refutation): readonly number[] {
  switch (refutation.property) {
    case 'law':
    case 'ends':
      return cellsIn(refutation.guard.test);
    case 'judged':
      return [];
    case 'one-case':
    case 'goes-on': {
      const node = plan.nodes.find((one) => one.path === refutation.node);
      const decisions =
        node?.node === 'choose'
          ? node.cases.map((one) => one.when)
          : node?.onlyIf === undefined
            ? []
            : [node.onlyIf];
      return decisions.flatMap((one) => (one.by === 'test' ? cellsIn(one.test) : []));
    }
  }
}

function cellsIn(test: Test): readonly number[] {
  if ('cell' in test) return [test.cell];
  if ('not' in test) return cellsIn(test.not);
  return ('all' in test ? test.all : test.any).flatMap(cellsIn);
}

/** How things stand at the end of the way, whether a job went it, and what is to be done. */
function outcome(refuted: Refuted, told: ToldWay): readonly string[] {
  const { plan, refutation } = refuted;
  const isEnd = refutation.property === 'ends' || (refutation.property === 'judged' && refutation.atEnd);
  const { last, visits } = told;
  const phase = last.at < plan.nodes.length ? progressOf(plan, last, last.at) : PHASE.done;
  const isWithin = visits.at(-1)?.node?.index === last.at && phase > PHASE.act;
  const comes = isEnd
    ? 'Then every step is done.'
    : isWithin
      ? `In this step ${phase === PHASE.entries ? 'its value is to be taken' : 'its verdict is due'} now.`
      : `Next comes ${placeTitle(plan, last.at)}${place(refuted.positions, refutation.pointer)}.`;
  const guard = 'guard' in refutation ? refutation.guard : undefined;
  return [
    comes,
    ...(guard === undefined ? stuck(refuted) : standing(refuted, guard, told)),
    ...sayReplay(refuted),
    ...remedies(refutation),
  ];
}

/** What the job that went the way says where nothing carries it on. */
function stuck({ plan, refutation, counterexample: { replayed } }: Refuted): readonly string[] {
  if (refutation.property === 'judged' || replayed === undefined || replayed.failed !== undefined) return [];
  return offers(plan, replayed.job).blocked.map((one) => inTitles(plan, one.message, one.about));
}

function place(positions: Positions, pointer: string): string {
  const span = positions.nearest(pointer);
  return span === undefined ? '' : ` [${span.file}:${span.line}]`;
}

/** How what keeps a guard from holding stands, since when, and where it is laid down how it has to. */
function standing(
  { plan, pack, positions }: Refuted,
  guard: Guard,
  { last, visits }: ToldWay,
): readonly string[] {
  const missed = missedBy(plan, guard, last);
  const lines = missed.map((one) => {
    const { cell, value } = one;
    const since = visits.findLastIndex((visit) => visit.changed.includes(cell));
    const when =
      value !== last.bytes[cell]
        ? 'once this step is done'
        : since < 0
          ? 'as at the start of the job'
          : `since step ${since + 1}; nothing later on this way changes it`;
    return `${sayValue(plan, pack, one)} ${when}. ${sayWanted(plan, one)}`;
  });
  const where = place(positions, guard.pointer);
  const laid = where === '' ? [] : [`This is laid down at${where}.`];
  return [
    ...lines,
    ...(missed.length > 1 && isEither(guard.test) ? ['One of them has to be otherwise.'] : []),
    ...laid,
  ];
}

/** Whether a job was driven along the way. */
function sayReplay({ counterexample: { replayed, signals } }: Refuted): readonly string[] {
  if (replayed === undefined)
    return [
      'No job was run this way: it takes more rounds of a rework than were found to be possible. So the way may not exist, and this may be a false alarm.',
    ];
  if (replayed.failed === undefined)
    return [`A job was run this way as a test (${replayed.facts.length} facts): it really comes to this.`];
  const { because, why, after } = replayed.failed;
  const said =
    after < signals.length && because === 'otherwise' ? ` (event ${after + 1} of ${signals.length})` : '';
  switch (because) {
    case 'no-values':
      return [
        `NO JOB CAN GO THIS WAY: ${why} The proof takes verdicts as independent of one another where several readings are involved, so this may be a false alarm. Look whether another way leads there.`,
      ];
    case 'no-part':
      return [
        `No job was run this way: ${why} The proof does not tell serial numbers apart, so this may be a false alarm.`,
      ];
    case 'values-not-found':
      return [`No job was run this way: ${why} There may be some; the way may also be a false alarm.`];
    case 'refused':
      return [`A job that goes this way is refused before it comes there: ${why}`];
    case 'otherwise':
      return [`A job that is run this way takes another one${said}: ${why}`];
  }
}

/** What an author can do about it. */
function remedies(refutation: Refutation): readonly string[] {
  switch (refutation.property) {
    case 'law':
      return [
        refutation.guard.because.guard === 'change-from'
          ? 'To mend it: let a step before it bring the engine into the state that it starts from on this way too, or let the step start from the present state as well.'
          : 'To mend it: let a step before it, on this way too, bring about what is missing, or move the step to where it may be done.',
      ];
    case 'goes-on':
      return [
        'To mend it: see that what the step waits for is recorded on this way too, or lead the way past it.',
      ];
    case 'one-case':
      return ['To mend it: draw the cases so that exactly one is true, or add otherwise.'];
    case 'judged':
      return ['To mend it: judge the reading in the step that takes it, or in one before it is relied on.'];
    case 'ends':
      return [
        'To mend it: let a step on this way bring it into a state of its ends, or add the state to the ends.',
      ];
  }
}
