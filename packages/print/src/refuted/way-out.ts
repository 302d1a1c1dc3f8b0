import { type Guard, offers, type Pack, PHASE, type Plan, progressOf, type Test } from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import { inTitles } from '../telling/titles.ts';
import { type DrivenWay, placeTitle, type ToldWay } from './told-way.ts';
import { isEither, missedBy, sayValue, sayWanted } from './what-fails.ts';

/** A refutation of one plan, with the way that shows it. */
export interface RefutedWay {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly refutation: Refutation;
  readonly counterexample: DrivenWay;
}

/** What stands behind the words that speak of a place in a pack, such as ` [states.yaml:12]`; nothing where it is not known. */
export type PlaceAt = (pointer: string) => string;

/** What is to be said behind the last step of a way. */
export interface WayOut {
  /** What would come now. */
  readonly next: string;
  /** How what is looked at stands, since when, and how it has to be. */
  readonly standing: readonly string[];
  /** Whether a job was driven along the way, and what that is worth. */
  readonly replayed: string;
  /** What an author can do about it. */
  readonly mend: string;
}

/** How things stand at the end of a way to what is refuted, whether a job went it, and what is to be done. */
export function wayOut(refuted: RefutedWay, told: ToldWay, placeAt: PlaceAt): WayOut {
  const { refutation } = refuted;
  const guard = 'guard' in refutation ? refutation.guard : undefined;
  return {
    next: whatComes(refuted, told, placeAt),
    standing: guard === undefined ? stuck(refuted) : standing(refuted, guard, told, placeAt),
    replayed: sayReplay(refuted.counterexample),
    mend: mending(refutation),
  };
}

function whatComes({ plan, refutation }: RefutedWay, { last, visits }: ToldWay, placeAt: PlaceAt): string {
  const isEnd = refutation.property === 'ends' || (refutation.property === 'judged' && refutation.atEnd);
  if (isEnd) return 'Then every step is done.';
  const phase = last.at < plan.nodes.length ? progressOf(plan, last, last.at) : PHASE.done;
  const isWithin = visits.at(-1)?.node?.index === last.at && phase > PHASE.act;
  return isWithin
    ? `In this step ${phase === PHASE.entries ? 'its value is to be taken' : 'its verdict is due'} now.`
    : `Next comes ${placeTitle(plan, last.at)}${placeAt(refutation.pointer)}.`;
}

/** The cells that the refuted property looks at. */
export function watchedCells(plan: Plan, refutation: Refutation): readonly number[] {
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

/** What the job that went the way says where nothing carries it on. */
function stuck({ plan, refutation, counterexample: { replayed } }: RefutedWay): readonly string[] {
  if (refutation.property === 'judged' || replayed === undefined || replayed.failed !== undefined) return [];
  return offers(plan, replayed.job).blocked.map((one) => inTitles(plan, one.message, one.about));
}

/** How what keeps a guard from holding stands, since when, and where it is laid down how it has to. */
function standing(
  { plan, pack }: RefutedWay,
  guard: Guard,
  { last, visits }: ToldWay,
  placeAt: PlaceAt,
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
  const where = placeAt(guard.pointer);
  const laid = where === '' ? [] : [`This is laid down at${where}.`];
  return [
    ...lines,
    ...(missed.length > 1 && isEither(guard.test) ? ['One of them has to be otherwise.'] : []),
    ...laid,
  ];
}

/** Whether a job was driven along the way. */
function sayReplay({ replayed, signals }: DrivenWay): string {
  if (replayed === undefined)
    return 'No job was run this way: it takes more rounds of a rework than were found to be possible. So the way may not exist, and this may be a false alarm.';
  if (replayed.failed === undefined)
    return `A job was run this way as a test (${replayed.facts.length} facts): it really comes to this.`;
  const { because, why, after } = replayed.failed;
  const said =
    after < signals.length && because === 'otherwise' ? ` (event ${after + 1} of ${signals.length})` : '';
  switch (because) {
    case 'no-values':
      return `NO JOB CAN GO THIS WAY: ${why} The proof takes verdicts as independent of one another where several readings are involved, so this may be a false alarm. Look whether another way leads there.`;
    case 'no-part':
      return `No job was run this way: ${why} The proof does not tell serial numbers apart, so this may be a false alarm.`;
    case 'values-not-found':
      return `No job was run this way: ${why} There may be some; the way may also be a false alarm.`;
    case 'refused':
      return `A job that goes this way is refused before it comes there: ${why}`;
    case 'otherwise':
      return `A job that is run this way takes another one${said}: ${why}`;
  }
}

/** What an author can do about it. */
function mending(refutation: Refutation): string {
  switch (refutation.property) {
    case 'law':
      return refutation.guard.because.guard === 'change-from'
        ? 'To mend it: let a step before it bring the engine into the state that it starts from on this way too, or let the step start from the present state as well.'
        : 'To mend it: let a step before it, on this way too, bring about what is missing, or move the step to where it may be done.';
    case 'goes-on':
      return 'To mend it: see that what the step waits for is recorded on this way too, or lead the way past it.';
    case 'one-case':
      return 'To mend it: draw the cases so that exactly one is true, or add otherwise.';
    case 'judged':
      return 'To mend it: judge the reading in the step that takes it, or in one before it is relied on.';
    case 'ends':
      return 'To mend it: let a step on this way bring it into a state of its ends, or add the state to the ends.';
  }
}
