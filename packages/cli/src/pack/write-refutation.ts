import type { Counterexample } from '@ferrule/check';
import { findEntry, type Pack, type Plan } from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import { type ToldWay, tellWay, type Visit, watchedCells, wayOut, whatFails } from '@ferrule/print';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';

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
const at = (positions: Positions, visit: Visit | undefined): string =>
  visit?.node === undefined ? '' : place(positions, visit.node.pointer);

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

/** How things stand at the end of the way, whether a job went it, and what is to be done. */
function outcome(refuted: Refuted, told: ToldWay): readonly string[] {
  const { next, standing, replayed, mend } = wayOut(refuted, told, (pointer) =>
    place(refuted.positions, pointer),
  );
  return [next, ...standing, replayed, mend];
}

function place(positions: Positions, pointer: string): string {
  const span = positions.nearest(pointer);
  return span === undefined ? '' : ` [${span.file}:${span.line}]`;
}
