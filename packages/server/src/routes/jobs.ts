import { findNode, type Job, offers, PHASE, type Plan, progressOf, referrals } from '@ferrule/engine';
import { handedOn } from '@ferrule/engine/replay';
import { deferral, jobsCsv } from '@ferrule/print';
import { jobStates } from '@ferrule/records';
import { accepted } from '../accepted.ts';
import type { Context } from '../context.ts';
import { daysProblem } from '../days.ts';
import {
  answerDocument,
  factsDocument,
  handedOnDocument,
  headOf,
  jobDocument,
  jobsDocument,
  offersDocument,
  releaseOf,
  stateOfJob,
  verdictsDocument,
} from '../documents.ts';
import { commandSchema, instrumentSchema, personsSchema } from '../engine-schemas.ts';
import { begin } from '../jobs/begin.ts';
import { signClosed } from '../jobs/closed-signature.ts';
import type { OpenJob } from '../jobs/desk.ts';
import { localTime } from '../local-time.ts';
import { offersSent } from '../offers-schema.ts';
import { countInQuery, dayInQuery, jobInPath, numberInQuery, person, requestId } from '../parameters.ts';
import { httpFormat, problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { among, count, list, object, optional, type TypeOf, text } from '../schema.ts';

const path = object({ job: jobInPath });
const sought = text({ minLength: 1, maxLength: 200 });
const number = ({ description }: { readonly description: string }) => optional(numberInQuery(description));

const forms = { json: JSON_TYPE, csv: 'text/csv' } as const;

const MOST_LISTED = 200;
const MOST_FACTS = 1000;

/** Jobs: beginning one, looking at it, and giving it commands. */
export const jobRoutes = (context: Context): readonly Ready[] => {
  const { store, desk, now } = context;
  const at = (): string => localTime(now());
  return [
    route({
      ...{ method: 'POST', url: '/jobs', operationId: 'beginJob', tag: 'jobs' },
      summary: 'Begins a job',
      description: 'The pack is kept with the job as it is now, so the job goes on when its folder has gone.',
      body: object(
        {
          id: requestId,
          by: person,
          pack: sought,
          revision: sought,
          overlay: optional(object({ overlay: sought, revision: sought })),
          procedure: sought,
          variant: sought,
          persons: personsSchema,
          instruments: list(instrumentSchema),
        },
        {
          examples: [
            {
              ...{ id: 'begin-0190a6f2', by: 'technician A' },
              ...{ pack: 'valve-clearance', revision: '1.0.0' },
              ...{ procedure: 'set-clearances', variant: 'marram-four' },
              persons: [
                { role: 'technician', person: 'technician A' },
                { role: 'second-technician', person: 'technician B' },
              ],
              instruments: [],
            },
          ],
        },
      ),
      answers: { 201: { description: 'The job was begun', content: { [JSON_TYPE]: answerDocument } } },
      fails: [
        ...([
          'malformed-body',
          'other-media-type',
          'too-large',
          'no-such-pack',
          'no-such-procedure',
        ] as const),
        ...(['faulty-pack', 'faulty-policy', 'refused', 'id-used', 'not-written', 'unreadable-job'] as const),
        'pack-not-at-hand',
      ],
      handle: async ({ body }) => {
        const begun = await begin(context, body, at);
        if ('code' in begun) return begun;
        const { job } = begun.open.header;
        return { status: 201, headers: { location: `/jobs/${job}` }, json: answerOf(begun) };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs', operationId: 'listJobs', tag: 'jobs' },
      summary: 'Jobs of the store, in the order of their names',
      description:
        'Texts have to be the same, sign by sign. What is given all has to apply. `from` and `until` are days, both inside: the job went on in them; with an instrument, it was used in them. The form is the one that `form` names, or else the one that Accept likes best.',
      query: object({
        state: optional(among(jobStates)),
        instrument: optional(sought),
        part: optional(sought),
        lot: optional(
          text({
            minLength: 1,
            maxLength: 200,
            description: 'Filled in a field called lot, or with -lot at its end',
          }),
        ),
        person: optional(sought),
        role: optional(text({ minLength: 1, maxLength: 200, description: 'With a person: in this role' })),
        hold: optional(sought),
        concession: optional(
          text({
            minLength: 1,
            maxLength: 200,
            description: 'The hold, or the instrument, that a concession was given for',
          }),
        ),
        grantedBy: optional(text({ minLength: 1, maxLength: 200, description: 'Who gave a concession' })),
        pack: optional(sought),
        revision: optional(sought),
        digest: optional(text({ maxLength: 80, description: 'Of the bundle that the job is pinned to' })),
        form: optional(among(['json', 'csv'])),
        from: optional(dayInQuery),
        until: optional(dayInQuery),
        engine: optional(sought),
        after: optional(text({ maxLength: 100, description: 'The last job of the page before' })),
        limit: optional(countInQuery(`How many at most; ${MOST_LISTED} if not said, and never more`)),
      }),
      answers: {
        200: { description: 'The jobs', content: { [JSON_TYPE]: jobsDocument, 'text/csv': text() } },
      },
      fails: ['not-acceptable'],
      handle: ({ query: { limit, form, ...query }, request }) => {
        const type =
          form === undefined ? accepted(request.headers.accept, Object.values(forms)) : forms[form];
        if (type === undefined)
          return problem('not-acceptable', 'A list of jobs is JSON or CSV.', {
            operands: { types: Object.values(forms) },
          });
        const wrong = daysProblem(query);
        if (wrong !== undefined) return wrong;
        const most = Math.min(Number(limit ?? MOST_LISTED), MOST_LISTED);
        const { jobs, faults, more, unknown } = store.list({ ...query, limit: most });
        if (type === 'text/csv')
          return {
            ...{ status: 200, type: `${type}; charset=utf-8`, content: jobsCsv(jobs) },
            headers: { 'content-disposition': 'attachment; filename="jobs.csv"' },
          };
        return {
          status: 200,
          json: {
            ...{ format: httpFormat, deferral },
            jobs: jobs.map((one) => ({ ...one, release: releaseOf(one.release) })),
            // What the store says of a fault names files of this machine.
            faults: faults.map(({ job, fault: { line } }) => ({
              ...{ job, line },
              detail: line === 0 ? 'It cannot be read.' : `Line ${line} is not as it was written.`,
            })),
            ...(more === undefined ? {} : { more }),
            ...(unknown === undefined ? {} : { unknown }),
          },
        };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job', operationId: 'getJob', tag: 'jobs' },
      summary: 'A job, and where it stands',
      path,
      answers: { 200: { description: 'The job', content: { [JSON_TYPE]: jobDocument } } },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand'],
      handle: async ({ path: { job } }) => {
        const open = await desk.open(job);
        return 'code' in open ? open : { status: 200, json: jobSent(open, store) };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/offers', operationId: 'getOffers', tag: 'jobs' },
      summary: 'What can be done now, what blocks the rest and why',
      path,
      answers: { 200: { description: 'The offers', content: { [JSON_TYPE]: offersDocument } } },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand'],
      handle: async ({ path: { job } }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const offered = offersSent(offers(open.plan, open.job), open.job.since);
        return { status: 200, json: { ...headOf(open), offers: offered } };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/facts', operationId: 'getFacts', tag: 'jobs' },
      summary: 'What happened in a job',
      path,
      query: object({
        after: number({ description: 'Only facts behind this number' }),
        limit: optional(countInQuery(`How many at most; ${MOST_FACTS} if not said, and never more`)),
      }),
      answers: { 200: { description: 'The facts, in order', content: { [JSON_TYPE]: factsDocument } } },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand'],
      handle: async ({ path: { job }, query: { after, limit } }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const from = Number(after ?? 0);
        const facts = open.job.facts.slice(from, from + Math.min(Number(limit ?? MOST_FACTS), MOST_FACTS));
        const isMore = (facts.at(-1)?.seq ?? from) < open.job.seq;
        return { status: 200, json: { ...headOf(open), facts, ...(isMore ? { more: true } : {}) } };
      },
    }),
    route({
      ...{ method: 'POST', url: '/jobs/:job/commands', operationId: 'giveCommand', tag: 'jobs' },
      summary: 'Gives a command to a job',
      description:
        'When the answer comes, the facts are on the disk. Without an answer, send the same again: an id is answered once.',
      path,
      body: object(
        {
          id: requestId,
          expectedSeq: count({ minimum: 0, description: 'The last fact that the person has seen' }),
          by: person,
          command: commandSchema,
        },
        {
          examples: [
            {
              ...{ id: '0190a6f2-7d1c-7c5e-9f7b-2f4a5d3e6c11', expectedSeq: 4, by: 'technician A' },
              command: {
                command: 'record',
                entry: 'clearance/inlet-1',
                value: '0.25 mm',
                instrument: 'FG-2',
              },
            },
          ],
        },
      ),
      answers: {
        200: {
          description: 'The facts that it has made, on the disk',
          content: { [JSON_TYPE]: answerDocument },
        },
      },
      fails: [
        ...(['malformed-body', 'other-media-type', 'too-large', 'no-such-job', 'unreadable-job'] as const),
        ...(['pack-not-at-hand', 'id-used', 'stale-sequence', 'refused', 'not-written'] as const),
      ],
      handle: async ({ path: { job }, body }) => {
        const given = await desk.give(job, body, at);
        if ('code' in given) return given;
        // Also where the same was asked before: what could not be signed then is tried again.
        const isClosing = given.facts.at(-1)?.fact.kind === 'closed';
        const signature = isClosing ? signClosed(given.open, { ...context, at: at() }) : undefined;
        const json = { ...answerOf(given), ...(signature === undefined ? {} : { signature }) };
        return { status: 200, json };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/verdicts', operationId: 'getVerdicts', tag: 'jobs' },
      summary: 'Every verdict of a job, and which of them count',
      path,
      answers: { 200: { description: 'The verdicts, in order', content: { [JSON_TYPE]: verdictsDocument } } },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand'],
      handle: async ({ path: { job } }) => {
        const open = await desk.open(job);
        return 'code' in open
          ? open
          : { status: 200, json: { ...headOf(open), verdicts: verdictsOf(open.plan, open.job) } };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/handed-on', operationId: 'getHandedOn', tag: 'jobs' },
      summary: 'What a closed job hands on to others, for their command carry',
      path,
      answers: { 200: { description: 'Its values', content: { [JSON_TYPE]: handedOnDocument } } },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand'],
      handle: async ({ path: { job } }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const origin = handedOn(open.plan, open.job, { job, record: open.last });
        return { status: 200, json: { ...headOf(open), origin } };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/stream', operationId: 'streamFacts', tag: 'jobs' },
      summary: 'The facts of a job as they come, as server-sent events',
      description: [
        'The first event is `job`, with what every document of a job says. Each fact is an event `fact` with its number as id.',
        'When the job is closed comes `closed`, and the stream ends; asking again behind the last fact is answered 204, which',
        'keeps a browser from coming back. A record that cannot be relied on ends it with `problem`.',
      ].join(' '),
      path,
      query: object({
        after: number({ description: 'Only facts behind this number; Last-Event-ID goes before' }),
      }),
      answers: {
        200: {
          description: 'Events: `job`, `fact`, `closed`, `problem`',
          content: { 'text/event-stream': text() },
        },
        204: { description: 'The job is closed, and there is nothing behind that fact' },
      },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand', 'too-many-streams'],
      handle: async ({ path: { job }, query: { after }, request, reply }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const { 'last-event-id': last = after ?? '0' } = request.headers;
        const seen = typeof last === 'string' && /^[0-9]{1,9}$/.test(last) ? Number(last) : undefined;
        if (seen === undefined)
          return problem('invalid-request', 'Last-Event-ID is the number of a fact.', {
            pointer: '/headers/last-event-id',
          });
        if (seen > open.job.seq)
          return problem('invalid-request', `The job is at fact ${open.job.seq}: it has no fact ${seen}.`, {
            pointer: after === undefined ? '/headers/last-event-id' : '/query/after',
            operands: { seq: open.job.seq },
          });
        if (open.job.control.closed !== undefined && seen >= open.job.seq) {
          await reply.code(204).send();
          return undefined;
        }
        if (context.streams.isFull)
          return problem('too-many-streams', `${context.streams.count} streams are open already.`);
        reply.hijack();
        const to = reply.raw;
        for (const [name, value] of Object.entries(reply.getHeaders()))
          if (value !== undefined) to.setHeader(name, value);
        // When it ends the connection has no further use; kept open, it would hold up a server that stops.
        to.setHeader('connection', 'close');
        // A proxy must not gather events until there are enough of them.
        to.writeHead(200, { 'content-type': 'text/event-stream; charset=utf-8', 'x-accel-buffering': 'no' });
        context.streams.add(open, headOf(open), seen, to);
        return undefined;
      },
    }),
  ];
};

const answerOf = ({
  facts,
  open,
}: {
  readonly facts: OpenJob['job']['facts'];
  readonly open: OpenJob;
}): TypeOf<typeof answerDocument> => ({ ...headOf(open, facts.at(-1)?.seq), facts });

function jobSent(open: OpenJob, store: Context['store']): TypeOf<typeof jobDocument> {
  const { plan, job, header, last } = open;
  const { standing, step } = offers(plan, job);
  const { overlay } = header;
  return {
    ...headOf(open),
    pack: {
      ...{ id: header.pack.id, revision: header.pack.revision },
      ...{ title: plan.pack.title, digest: header.pack.digest },
    },
    ...(overlay === undefined
      ? {}
      : {
          overlay: {
            ...{ id: overlay.id, revision: overlay.revision },
            ...{ digest: overlay.digest, over: overlay.over },
          },
        }),
    procedure: { id: plan.procedure.id, title: plan.procedure.title },
    variant: { id: plan.variant.id, title: plan.variant.title },
    persons: job.persons,
    instruments: job.instruments,
    started: job.facts[0]?.at ?? job.at,
    last: job.at,
    lastDigest: last,
    state: stateOfJob(open),
    standing,
    ...(step === undefined ? {} : { step: step.path }),
    signed: store.signature(header.job) !== undefined,
    leadsTo: referrals(plan, job),
  };
}

type Verdicts = TypeOf<typeof verdictsDocument>['verdicts'];

/** Every verdict; those that count are the last on their own that nothing has struck and no rework has set back since. */
function verdictsOf(plan: Plan, { facts, control }: Job): Verdicts {
  const last = new Map<string, number>();
  for (const { seq, fact } of facts) if (fact.kind === 'judged') last.set(fact.of, seq);
  return facts.flatMap(({ seq, at, by, fact }): Verdicts => {
    if (fact.kind !== 'judged') return [];
    const { step, of, verdict } = fact;
    const title = plan.tolerances.find((one) => one.name === of)?.title ?? of;
    return [
      { seq, at, by, step, of, title, counts: last.get(of) === seq && stands(plan, control, step), verdict },
    ];
  });
}

/** Whether what a step has judged is still so: a strike or a rework sets it back to before that. */
const stands = (plan: Plan, control: Job['control'], step: string): boolean =>
  progressOf(plan, control, findNode(plan, step) ?? -1) > PHASE.judge;
