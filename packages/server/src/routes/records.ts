import { cardCsv, cardHtml, deferral, jobCard } from '@ferrule/print';
import { saidOfPack, saidOfRecord } from '@ferrule/records';
import { accepted } from '../accepted.ts';
import type { Context } from '../context.ts';
import { recordKeptDocument, releaseOf, verificationDocument } from '../documents.ts';
import { page } from '../html.ts';
import { noSuchJob, notWritten, type OpenJob, unreadable } from '../jobs/desk.ts';
import { limits } from '../limits.ts';
import { jobInPath } from '../parameters.ts';
import { httpFormat, problem } from '../problem.ts';
import { type Answer, JSON_TYPE, type Ready, route } from '../route.ts';
import { among, anything, object, optional, text } from '../schema.ts';

const path = object({ job: jobInPath });
const forms = { json: JSON_TYPE, html: 'text/html', csv: 'text/csv' } as const;

/** What is kept and handed on of jobs: cards, records and what they show about themselves. */
export const recordRoutes = (context: Context): readonly Ready[] => {
  const { store, desk } = context;
  return [
    route({
      ...{ method: 'GET', url: '/jobs/:job/card', operationId: 'getCard', tag: 'records' },
      summary: 'The job card: as JSON, as a page to be printed, or its readings as CSV',
      description: 'The form is the one that `form` names, or else the one that Accept likes best.',
      path,
      query: object({ form: optional(among(['json', 'html', 'csv'])) }),
      answers: {
        200: {
          description: 'The card, in the form that was asked for',
          content: {
            [JSON_TYPE]: anything({
              type: 'object',
              description: 'ferrule-card-1; docs/job-card.md says what stands in it',
            }),
            'text/html': text(),
            'text/csv': text(),
          },
        },
      },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand', 'not-acceptable'],
      handle: async ({ path: { job }, query: { form }, request }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const type =
          form === undefined ? accepted(request.headers.accept, Object.values(forms)) : forms[form];
        if (type === undefined)
          return problem('not-acceptable', 'A card is JSON, HTML or CSV.', {
            operands: { types: Object.values(forms) },
          });
        return cardSent(context, open, type);
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/record', operationId: 'getRecord', tag: 'records' },
      summary: 'A job as one file that another store takes in',
      description: 'Record, pack, signature and photographs. Keep it as it is, byte for byte.',
      path,
      answers: {
        200: { description: 'The record', content: { [JSON_TYPE]: anything({ type: 'object' }) } },
      },
      fails: ['no-such-job', 'unreadable-job', 'pack-not-at-hand', 'too-large'],
      handle: async ({ path: { job } }) => {
        const open = await desk.open(job);
        if ('code' in open) return open;
        const exported = store.exportJob(job);
        if (exported.refused === 'too-large') return problem('too-large', exported.message);
        if (exported.refused !== undefined) return unreadable(job, exported.line);
        return {
          status: 200,
          type: JSON_TYPE,
          content: exported.text,
          headers: { 'content-disposition': `attachment; filename="${job}.json"` },
        };
      },
    }),
    route({
      ...{ method: 'POST', url: '/records', operationId: 'takeRecord', tag: 'records' },
      summary: 'Takes in a job that another store has handed on',
      description:
        'Every digest and the signature are checked first. Of a job that is here and was gone on with elsewhere the rest is added; another history is refused.',
      takes: [JSON_TYPE],
      bodyLimit: limits.record,
      answers: {
        200: { description: 'It is in the store', content: { [JSON_TYPE]: recordKeptDocument } },
      },
      fails: ['other-media-type', 'too-large', 'malformed-body', 'bad-record', 'job-exists', 'not-written'],
      handle: ({ body }) => {
        if (!Buffer.isBuffer(body)) return problem('malformed-body', 'No record was sent.');
        const taken = store.importJob(body.toString('utf8'));
        if (taken.refused === 'not-written') return notWritten();
        if (taken.refused === 'other-history') return problem('job-exists', taken.message);
        if (taken.refused !== undefined) {
          const { message, findings = [] } = taken;
          return problem('bad-record', message, { operands: { findings: findings.slice(0, 20) } });
        }
        desk.tell(taken.imported);
        const { imported: job, facts, was } = taken;
        return {
          status: 200,
          headers: { location: `/jobs/${job}` },
          json: { format: httpFormat, deferral, job, ...releaseIn(context, job), facts, was },
        };
      },
    }),
    route({
      ...{ method: 'GET', url: '/jobs/:job/verification', operationId: 'getVerification', tag: 'records' },
      summary: 'Whether the record is as it was written, and what is wrong with it',
      description:
        'Looks at every digest, the signature, the pack and the photographs. Answers for records that no other address can read, too.',
      path,
      query: object({
        expect: optional(
          text({ maxLength: 80, description: 'The digest that it has to end with, as a card prints it' }),
        ),
      }),
      answers: { 200: { description: 'What it shows', content: { [JSON_TYPE]: verificationDocument } } },
      fails: ['no-such-job'],
      handle: ({ path: { job }, query }) => {
        if (!store.names().includes(job)) return noSuchJob(job);
        const [, hex] = /^sha256:([0-9a-f]{64})$/.exec(query.expect ?? '') ?? [];
        if (query.expect !== undefined && hex === undefined)
          return problem('invalid-request', 'What is expected is no digest.', { pointer: '/query/expect' });
        const found = store.verify(job, hex === undefined ? {} : { expect: `sha256:${hex}` });
        return { status: 200, json: { format: httpFormat, deferral, ...releaseIn(context, job), ...found } };
      },
    }),
  ];
};

/** How the pack of a job was released when it began, where its record can be read. */
function releaseIn({ store }: Context, job: string): { readonly release?: ReturnType<typeof releaseOf> } {
  const read = store.read(job);
  return read.fault === undefined ? { release: releaseOf(read.header.release) } : {};
}

function cardSent({ store }: Context, open: OpenJob, type: (typeof forms)[keyof typeof forms]): Answer {
  const { plan, pack, job, header, last } = open;
  const card = jobCard(plan, job.facts, {
    ...{ pack, job: header.job, last },
    release: saidOfPack(header),
    signature: saidOfRecord(store.verify(header.job)),
  });
  if (type === 'text/html') return page(cardHtml(card));
  if (type === JSON_TYPE) return { status: 200, json: card };
  return {
    status: 200,
    type: 'text/csv; charset=utf-8',
    content: cardCsv(card),
    headers: { 'content-disposition': `attachment; filename="${header.job}.csv"` },
  };
}
