import { deferral } from '@ferrule/print';
import { findingCodes, jobStates, stateOf } from '@ferrule/records';
import { type ReleaseRecord, type ReleaseState, releaseWords } from '@ferrule/signing';
import {
  digestSchema,
  factSchema,
  instrumentSchema,
  originSchema,
  personsSchema,
  referralSchema,
  verdictSchema,
} from './engine-schemas.ts';
import type { OpenJob } from './jobs/desk.ts';
import { offersSchema } from './offers-schema.ts';
import { httpFormat } from './problem.ts';
import { rejudgingStates } from './rejudgings/kept-rejudging.ts';
import {
  among,
  amount,
  count,
  list,
  map,
  named,
  object,
  optional,
  type TypeOf,
  text,
  truth,
  word,
  yes,
} from './schema.ts';

const t = text();
export const format = word(httpFormat, { description: 'The version of this document' });
export const said = text({ description: 'Whom Ferrule defers to: show it wherever a job is shown' });
export const notice = optional(
  text({ description: 'The notice of the pack: show it wherever a job is shown' }),
);

export const release = named(
  'Release',
  object(
    {
      state: among(['unsigned', 'signed', 'broken']),
      approved: truth({
        description:
          'Whether another person approved it, under a policy; and its overlay, where there is one',
      }),
      words: text({ description: 'The same in words, as they stand behind the revision on every screen' }),
    },
    { description: 'Whether the pack was released with a signature' },
  ),
);

/** What every document says that shows a job. */
const head = {
  format,
  job: text({ description: 'Its name in the store' }),
  seq: count({ description: 'The number of the last fact that this document knows' }),
  deferral: said,
  notice,
  release,
};

/** What every document says that shows a job, of this one. */
export function headOf({ header, job, pack }: OpenJob, seq = job.seq) {
  return {
    format: httpFormat,
    job: header.job,
    seq,
    deferral,
    ...(pack.notice === undefined ? {} : { notice: pack.notice }),
    release: releaseOf(header.release),
  } as const;
}

type Release = TypeOf<typeof release>;

/** How the pack of a job was released, as it was known when the job began. */
export function releaseOf(record: ReleaseRecord | undefined): Release {
  const isSigned = record !== undefined && record.signedBy.length > 0;
  const approved = isSigned && record.approved && record.overlay?.approved !== false;
  return { state: isSigned ? 'signed' : 'unsigned', approved, words: releaseWords(record) };
}

/** How a pack on the shelf is released now. */
export const releaseNow = (state: ReleaseState): Release => ({
  state: state.state,
  approved: state.state === 'signed' && state.approved,
  words: releaseWords(state),
});

const titled = object({ id: t, title: t });
const pinned = object({
  id: t,
  revision: t,
  title: t,
  digest: text({ description: 'Of the bundle that the job is pinned to' }),
});

export const jobDocument = named(
  'Job',
  object(
    {
      ...head,
      pack: pinned,
      overlay: optional(object({ id: t, revision: t, digest: t, over: t })),
      procedure: titled,
      variant: titled,
      persons: personsSchema,
      instruments: list(instrumentSchema),
      started: t,
      last: text({ description: 'The time of the last fact' }),
      lastDigest: text({ description: 'The digest of the last fact, which covers all before it' }),
      state: among(jobStates),
      standing: among(['at-step', 'on-hold', 'parked', 'ready-to-close', 'closed']),
      step: optional(text({ description: 'The path of the step that the job is at' })),
      signed: truth({ description: 'Whether the closed job carries a signature' }),
      leadsTo: list(referralSchema, { description: 'The procedures of other packs that the job has led to' }),
    },
    { description: 'A job, and where it stands' },
  ),
);

export const offersDocument = named('JobOffers', object({ ...head, offers: offersSchema }));

export const factsDocument = named(
  'JobFacts',
  object({
    ...head,
    facts: list(factSchema),
    more: optional(yes),
  }),
);

export const answerDocument = named(
  'CommandAnswer',
  object(
    {
      ...head,
      facts: list(factSchema, { description: 'The facts that the command has made' }),
      signature: optional(
        object(
          {
            state: among(['unsigned', 'signed']),
            says: text({ description: 'The same in words; where it could not be signed, what to do' }),
          },
          { description: 'Of a command that closed the job, where the server signs those' },
        ),
      ),
    },
    { description: 'What a command has come to; the same for the same id, whenever it is asked' },
  ),
);

export const verdictsDocument = named(
  'JobVerdicts',
  object({
    ...head,
    verdicts: list(
      object({
        seq: count(),
        at: t,
        by: t,
        step: t,
        of: t,
        title: t,
        counts: truth({
          description: 'Whether it is the last on what it judges, and what it judges still counts',
        }),
        verdict: verdictSchema,
      }),
    ),
  }),
);

export const handedOnDocument = named('JobHandedOn', object({ ...head, origin: originSchema }));

const summary = named(
  'JobSummary',
  object({
    job: t,
    pack: object({ id: t, revision: t, digest: t }),
    overlay: optional(object({ id: t, revision: t })),
    procedure: t,
    variant: t,
    release,
    engine: optional(t),
    started: t,
    last: t,
    facts: count(),
    lastDigest: t,
    state: among(jobStates),
    persons: list(t),
    roles: list(object({ role: t, person: t })),
    instruments: list(t),
    uses: list(object({ instrument: t, day: t }), {
      description: 'On which days something was measured or tightened with which instrument',
    }),
    parts: list(t),
    lots: list(t, { description: 'Of fields called lot, or with -lot at their end' }),
    holds: list(t),
    concessions: count(),
    granted: list(object({ of: t, by: t }), {
      description: 'Concessions: the hold or the instrument, and who gave it',
    }),
    nonconforming: count(),
    signed: truth(),
  }),
);

export const jobsDocument = named(
  'Jobs',
  object({
    format,
    deferral: said,
    jobs: list(summary),
    faults: list(object({ job: t, line: count(), detail: t }), {
      description: 'Records of the store that cannot be relied on',
    }),
    more: optional(yes),
    unknown: optional(
      list(object({ name: t, value: t, near: optional(t), known: list(t), says: t }), {
        description:
          'Where no job was found: the names that were asked for and that no job of the store has, with those that there are',
      }),
    ),
  }),
);

const shelved = {
  pack: t,
  revision: t,
  title: optional(t),
  notice: optional(t),
  digest: optional(digestSchema),
  release,
  jobs: list(object({ procedure: t, title: t, variants: list(object({ variant: t, title: t })) }), {
    description: 'The procedures that are jobs of their own, with the engines that each is for',
  }),
  diagnostics: object(
    { errors: count(), warnings: count() },
    {
      description:
        'What reading it and its form give; ferrule check looks at its names as well, proves it, and says what each is',
    },
  ),
};

/** An overlay that can be laid over a pack of the shelf. */
const shelvedOverlay = {
  overlay: t,
  revision: t,
  title: optional(t),
  over: optional(
    object(
      { pack: t, revision: t },
      { description: 'The pack that it is for; missing where it does not say' },
    ),
  ),
  digest: optional(digestSchema),
  release,
  diagnostics: object(
    { errors: count(), warnings: count() },
    { description: 'What reading it laid over that pack gives, and the form of both together' },
  ),
};

export const packsDocument = named(
  'Packs',
  object({ format, deferral: said, packs: list(object(shelved)), overlays: list(object(shelvedOverlay)) }),
);

/** What is asked for to begin a job with a pack. */
export const packDocument = named(
  'Pack',
  object({
    format,
    deferral: said,
    ...shelved,
    needs: map(
      object({
        roles: list(object({ id: t, title: t, needed: truth() })),
        instruments: list(
          object({
            ...{ id: t, title: t, calibrated: truth() },
            needed: truth({ description: 'Whether it has to be named before the job begins' }),
          }),
        ),
      }),
      { description: 'By procedure: the roles to be filled and the instruments to be named' },
    ),
  }),
);

export const photographDocument = named(
  'PhotographKept',
  object({ format, digest: digestSchema, mediaType: among(['image/png', 'image/jpeg', 'image/webp']) }),
);

export const recordKeptDocument = named(
  'RecordKept',
  object({
    format,
    deferral: said,
    job: t,
    release: optional(release),
    facts: count(),
    was: among(['new', 'continued', 'there'], {
      description: 'Whether the store did not have it, had the beginning of it, or had all of it',
    }),
  }),
);

export const verificationDocument = named(
  'Verification',
  object({
    format,
    deferral: said,
    job: t,
    release: optional(release),
    isSound: truth({ description: 'Nothing is wrong; notes say what could not be looked at' }),
    findings: list(
      object({ code: among(findingCodes), seq: optional(count()), line: optional(count()), message: t }),
    ),
    notes: list(t),
    facts: count(),
    state: optional(among(jobStates)),
    last: optional(t),
    signature: optional(object({ signedBy: list(t), isKnown: truth(), by: t, at: t })),
  }),
);

const rejudging = {
  rejudging: text({ description: 'The id that it was begun with' }),
  pack: t,
  revision: text({ description: 'The revision that jobs are judged by' }),
  title: text({ description: 'The title of the pack' }),
  digest: text({ description: 'Of the bundle of the revision, without an overlay' }),
  overlay: optional(object({ overlay: t, revision: t })),
  procedure: optional(t),
  all: truth({ description: 'Whether what has not changed is judged again, too' }),
  release: text({ description: 'How the revision was released when it began, in words' }),
  notice,
  begun: t,
  ended: optional(t),
  state: among(rejudgingStates, {
    description: 'A server that ended has cut it off; it goes on when it is asked for again',
  }),
  jobs: object(
    { total: count(), done: count() },
    { description: 'Job files of the store, and those that are done' },
  ),
  jobsPerSecond: optional(amount({ description: 'Over the last seconds' })),
  remainingSeconds: optional(count({ description: 'If it goes on like that' })),
  says: optional(list(t, { description: 'Of one that is done: what there is to know first' })),
  rowCount: optional(count({ description: 'Verdicts that are not what they were' })),
  failure: optional(text({ description: 'Of one that failed: why' })),
};

export const rejudgingDocument = named(
  'Rejudging',
  object(
    { format, deferral: said, ...rejudging },
    { description: 'Jobs that are judged by another revision' },
  ),
);

export const rejudgingsDocument = named(
  'Rejudgings',
  object({ format, deferral: said, rejudgings: list(object(rejudging)) }),
);

/** How a job stands, for its document. */
export const stateOfJob = ({ job }: OpenJob): TypeOf<typeof jobDocument>['state'] => stateOf(job.facts);
