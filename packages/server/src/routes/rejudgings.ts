import { createReadStream, readFileSync } from 'node:fs';
import { deferral } from '@ferrule/print';
import { accepted } from '../accepted.ts';
import type { Context } from '../context.ts';
import { rejudgingDocument, rejudgingsDocument } from '../documents.ts';
import { page } from '../html.ts';
import { reportFile } from '../long-work/rejudge-into.ts';
import { requestId } from '../parameters.ts';
import { httpFormat, problem } from '../problem.ts';
import type { RejudgingNow } from '../rejudgings/rejudgings.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { among, anything, object, optional, text, truth } from '../schema.ts';

const sought = text({ minLength: 1, maxLength: 200 });
const path = object({ rejudging: requestId });
const forms = { json: JSON_TYPE, html: 'text/html', csv: 'text/csv' } as const;

/** Jobs judged again by another revision of their pack: begun, looked at, stopped, and what came of it. */
export const rejudgingRoutes = ({ rejudgings }: Context): readonly Ready[] => [
  route({
    ...{ method: 'POST', url: '/rejudgings', operationId: 'beginRejudging', tag: 'records' },
    summary: 'Begins to judge the jobs of the store by another revision of their pack',
    description:
      'It goes on after the answer, one at a time; no record is written. Sent again under its id, one that a restart of the server has cut off goes on where it was, and any other is answered as it is now.',
    body: object(
      {
        id: requestId,
        pack: sought,
        revision: text({ minLength: 1, maxLength: 200, description: 'The revision to judge by' }),
        overlay: optional(
          object(
            { overlay: sought, revision: sought },
            { description: 'For jobs that were begun with this overlay' },
          ),
        ),
        procedure: optional(
          text({ minLength: 1, maxLength: 200, description: 'Only jobs of this procedure, as they call it' }),
        ),
        all: optional(
          truth({ description: 'Judges again what has not changed, too: it has to come out as recorded' }),
        ),
      },
      { examples: [{ id: 'rejudge-0190a6f2', pack: 'marram-unit-pumps', revision: '1.1.0' }] },
    ),
    answers: {
      202: { description: 'It is under way, or over', content: { [JSON_TYPE]: rejudgingDocument } },
    },
    fails: [
      ...(['malformed-body', 'other-media-type', 'too-large', 'no-such-pack', 'faulty-pack'] as const),
      ...(['faulty-policy', 'no-such-job', 'id-used', 'rejudging-under-way', 'not-written'] as const),
      ...(['no-store-folder', 'too-much-waiting'] as const),
    ],
    handle: async ({ body: { id, ...asked } }) => {
      const begun = await rejudgings.begin(id, asked);
      if ('code' in begun) return begun;
      return { status: 202, headers: { location: `/rejudgings/${id}` }, json: sent(begun) };
    },
  }),
  route({
    ...{ method: 'GET', url: '/rejudgings', operationId: 'listRejudgings', tag: 'records' },
    summary: 'The rejudgings that are kept, the newest first',
    answers: { 200: { description: 'The rejudgings', content: { [JSON_TYPE]: rejudgingsDocument } } },
    fails: [],
    handle: () => ({
      status: 200,
      json: { format: httpFormat, deferral, rejudgings: rejudgings.list().map(said) },
    }),
  }),
  route({
    ...{ method: 'GET', url: '/rejudgings/:rejudging', operationId: 'getRejudging', tag: 'records' },
    summary: 'A rejudging: how far it has come, and what there is to know first',
    path,
    answers: { 200: { description: 'The rejudging', content: { [JSON_TYPE]: rejudgingDocument } } },
    fails: ['no-such-rejudging'],
    handle: ({ path: { rejudging } }) => {
      const found = rejudgings.find(rejudging);
      return 'code' in found ? found : { status: 200, json: sent(found) };
    },
  }),
  route({
    ...{ method: 'GET', url: '/rejudgings/:rejudging/report', operationId: 'getRejudged', tag: 'records' },
    summary: 'What came of a rejudging: as JSON, as a page to be printed, or its rows as CSV',
    description: 'The form is the one that `form` names, or else the one that Accept likes best.',
    path,
    query: object({ form: optional(among(['json', 'html', 'csv'])) }),
    answers: {
      200: {
        description: 'The report, in the form that was asked for',
        content: {
          [JSON_TYPE]: anything({
            type: 'object',
            description:
              'ferrule-rejudged-1; packages/compare/schema/rejudged.schema.json says what stands in it',
          }),
          'text/html': text(),
          'text/csv': text(),
        },
      },
    },
    fails: ['no-such-rejudging', 'not-done', 'not-acceptable'],
    handle: ({ path: { rejudging }, query: { form }, request }) => {
      const found = rejudgings.reportsOf(rejudging);
      if ('code' in found) return found;
      const type = form === undefined ? accepted(request.headers.accept, Object.values(forms)) : forms[form];
      switch (type) {
        case undefined:
          return problem('not-acceptable', 'A report is JSON, HTML or CSV.', {
            operands: { types: Object.values(forms) },
          });
        case 'text/html':
          return page(readFileSync(reportFile(found.folder, 'html'), 'utf8'));
        case 'text/csv':
          return {
            ...{ status: 200, type: `${type}; charset=utf-8` },
            content: createReadStream(reportFile(found.folder, 'csv')),
            headers: { 'content-disposition': `attachment; filename="rejudged-${rejudging}.csv"` },
          };
        case JSON_TYPE:
          return { status: 200, type, content: createReadStream(reportFile(found.folder, 'json')) };
      }
    },
  }),
  route({
    ...{ method: 'POST', url: '/rejudgings/:rejudging/stop', operationId: 'stopRejudging', tag: 'records' },
    summary: 'Stops a rejudging that is under way',
    description: 'One that is over stays as it is. It takes no body.',
    path,
    answers: {
      200: { description: 'The rejudging, as it is now', content: { [JSON_TYPE]: rejudgingDocument } },
    },
    fails: ['no-such-rejudging'],
    handle: async ({ path: { rejudging } }) => {
      const found = await rejudgings.stop(rejudging);
      return 'code' in found ? found : { status: 200, json: sent(found) };
    },
  }),
];

const sent = (one: RejudgingNow) => ({ format: httpFormat, deferral, ...said(one) });

/** What a document says of a rejudging. */
function said({ id, asked, format: _, rate, ...one }: RejudgingNow) {
  const { all, ...named } = asked;
  return {
    ...{ rejudging: id, ...named, all: all === true, ...one },
    ...(rate === undefined ? {} : { jobsPerSecond: rate.jobsPerSecond }),
    ...(rate?.remainingSeconds === undefined ? {} : { remainingSeconds: Math.ceil(rate.remainingSeconds) }),
  };
}
