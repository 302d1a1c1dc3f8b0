import { type Fact, isLive, type Job, type Pack, type Plan } from '@ferrule/engine';
import { deferral } from '../deferral.ts';
import { readingText } from '../telling/reading-text.ts';
import type { Telling } from '../telling/telling.ts';
import { answerText, roleTitle } from '../telling/titles.ts';
import {
  concessionsIn,
  holdsOf,
  leftOf,
  nextOf,
  omittedOf,
  photographsOf,
  struckOf,
  tellCause,
  tightenedOf,
  witnessesOf,
} from './aside.ts';
import { each, madeBy } from './card-facts.ts';
import type {
  CardDocument,
  CardInstrument,
  CardJob,
  CardPack,
  CardReading,
  CardSigned,
  CardTightened,
  CardWritten,
} from './generated/card-document.ts';
import { measuredOf } from './measured.ts';
import { partsOf, renewedOf } from './parts.ts';
import { carriedOf, readingsOf, seenOf, titleOf } from './readings.ts';
import { verdictsOf } from './verdicts.ts';
import { walk } from './walk.ts';

/** The version of the document that `jobCard` makes. */
export const cardFormat = 'ferrule-card-1';

export interface CardOptions {
  /** The pack that the plan was resolved from: it has the titles and libraries that a job does not need. */
  readonly pack: Pack;
  /** The name under which the job is kept. */
  readonly job?: string;
  /** Digest of the last fact, as the store has it. */
  readonly last?: string;
  /** What is known of the release of the pack; unsigned if not said. */
  readonly release?: CardSigned;
  /** What is known of the signature of the record; unsigned if not said. */
  readonly signature?: CardSigned;
}

/**
 * What a job has come to, as plain data: its card, closed or not. The facts have to be those of a job of this plan, as
 * `replay` accepts them. Values are texts as they were recorded; nothing is judged anew. Throws a RangeError for facts that
 * do not make a job.
 */
export function jobCard(plan: Plan, facts: readonly Fact[], options: CardOptions): CardDocument {
  const { pack } = options;
  const telling: Telling = { plan, pack, facts };
  const { job, time, rework } = walk(plan, facts, (fact) => tellCause(telling, fact));
  const readings = readingsOf(plan, job);
  const verdicts = verdictsOf(telling, job);
  const tightened = tightenedOf(plan, job);
  const written = writtenOf(plan, job);
  const as = (item: NonNullable<(typeof written)[number]['item']>): readonly CardWritten[] =>
    written.flatMap((one) => (one.item === item ? [one.text] : []));
  const [serial] = as('engine');
  const [machine] = as('machine');
  const [hours] = as('hours');
  const parts = partsOf(plan, job);
  const measured = measuredOf(telling, job, verdicts);
  const renewed = renewedOf(plan, pack, job);
  const bores = [...parts, ...measured, ...renewed, ...readings].flatMap(({ bore }) => bore ?? []);
  return {
    format: cardFormat,
    deferral,
    ...(plan.pack.notice === undefined ? {} : { notice: plan.pack.notice }),
    job: jobOf(plan, job, options),
    pack: packOf(plan, pack, job),
    release: options.release ?? { state: 'unsigned', says: 'The pack is unsigned.' },
    signature: options.signature ?? { state: 'unsigned', says: 'The record of this job is unsigned.' },
    engine: {
      ...(serial === undefined ? {} : { serial }),
      ...(machine === undefined ? {} : { machine }),
      ...(hours === undefined ? {} : { hours }),
    },
    complaint: as('complaint'),
    cause: as('cause'),
    correction: as('correction'),
    persons: job.persons.map(({ role, person }) => ({ role, title: roleTitle(plan, role), person })),
    instruments: instrumentsOf(plan, job, readings, tightened),
    bores: [...new Set(bores)].sort((a, b) => a - b),
    parts,
    renewed,
    measured,
    readings,
    verdicts,
    seen: seenOf(plan, job),
    written: written.flatMap((one) => (one.item === undefined ? [one.text] : [])),
    carried: carriedOf(plan, job),
    tightened,
    rework,
    struck: struckOf(plan, job),
    holds: holdsOf(plan, job),
    concessions: concessionsIn(plan, job),
    witnesses: witnessesOf(plan, job),
    omitted: omittedOf(plan, job),
    notes: each(facts, 'noted', ({ text }, envelope) => ({ text, ...madeBy(envelope) })),
    photographs: photographsOf(plan, job),
    time,
    left: job.control.closed === 'finished' ? [] : leftOf(plan, job),
    next: nextOf(plan, job),
  };
}

function jobOf(plan: Plan, job: Job, { job: id, last }: CardOptions): CardJob {
  const { control, facts } = job;
  const closed = facts.findLast(({ fact }) => fact.kind === 'closed')?.fact;
  const parked = facts.findLast(({ fact }) => fact.kind === 'parked')?.fact;
  const [state, says, reason] = ((): readonly [CardJob['state'], string, string | undefined] => {
    if (control.closed === 'finished')
      return ['finished', 'The job is closed, and all of it is done.', undefined];
    if (control.closed === 'unfinished')
      return [
        'unfinished',
        'The job is closed, UNFINISHED.',
        closed?.kind === 'closed' ? closed.reason : undefined,
      ];
    if (control.parked)
      return [
        'parked',
        'UNFINISHED: the job is parked.',
        parked?.kind === 'parked' ? parked.reason : undefined,
      ];
    const hold = plan.holds[control.hold];
    if (hold !== undefined) return ['held', 'UNFINISHED: a hold is open.', hold.text];
    return ['open', 'UNFINISHED: the job is not closed.', undefined];
  })();
  return {
    ...(id === undefined ? {} : { id }),
    state,
    says,
    ...(reason === undefined ? {} : { reason }),
    began: facts[0]?.at ?? job.at,
    last: job.at,
    facts: facts.length,
    ...(last === undefined ? {} : { lastDigest: last }),
  };
}

function packOf(plan: Plan, pack: Pack, { started }: Job): CardPack {
  const { overlay } = plan.pack;
  const source = pack.procedures[plan.procedure.id]?.source ?? pack.source;
  return {
    id: plan.pack.id,
    revision: plan.pack.revision,
    title: plan.pack.title,
    digest: started.bundle,
    ...(source === undefined ? {} : { source }),
    procedure: { id: plan.procedure.id, title: plan.procedure.title },
    variant: { id: plan.variant.id, title: plan.variant.title },
    ...(overlay === undefined ? {} : { overlay }),
    libraries: Object.entries(pack.uses ?? {}).map(([id, { revision, digest }]) => ({
      id,
      revision,
      digest,
    })),
  };
}

/** What was filled in, and what the pack marks for a place on the card, as it counts at the end. */
function writtenOf(
  plan: Plan,
  job: Job,
): readonly { readonly item: Plan['entries'][number]['card']; readonly text: CardWritten }[] {
  return plan.entries.flatMap((entry, index) => {
    const taken = job.taken[index];
    const isWanted = entry.entry === 'field' || entry.card !== undefined;
    if (taken === undefined || !isWanted || !isLive(entry, job.control.bytes)) return [];
    const envelope = job.facts.find(({ seq }) => seq === taken.seq);
    if (envelope === undefined) return [];
    const { fact } = envelope;
    const text =
      fact.kind === 'reading' || fact.kind === 'carried'
        ? (readingText(fact) ?? taken.text)
        : fact.kind === 'observed'
          ? answerText(plan, entry.name, fact.answer)
          : taken.text;
    return [{ item: entry.card, text: { title: titleOf(plan, entry.name), text, ...madeBy(envelope) } }];
  });
}

function instrumentsOf(
  plan: Plan,
  job: Job,
  readings: readonly CardReading[],
  tightened: readonly CardTightened[],
): readonly CardInstrument[] {
  return job.instruments.map(({ kind, identity, due, length }) => {
    const used = [...readings, ...tightened].filter((one) => one.instrument === identity);
    const allowed = [
      ...new Set(readings.flatMap((one) => (one.instrument === identity ? (one.allowed ?? []) : []))),
    ];
    return {
      kind,
      title: plan.instruments.find((one) => one.id === kind)?.title ?? kind,
      identity,
      ...(due === undefined ? {} : { due }),
      ...(length === undefined ? {} : { length }),
      readings: used.length,
      ...(allowed.length === 0 ? {} : { allowed }),
    };
  });
}
