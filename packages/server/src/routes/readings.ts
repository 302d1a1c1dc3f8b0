import { readingsCsv, readingsHtml } from '@ferrule/print/readings';
import type { UnknownValue } from '@ferrule/records';
import { accepted } from '../accepted.ts';
import type { Context } from '../context.ts';
import { daysProblem } from '../days.ts';
import { page } from '../html.ts';
import { dayInQuery } from '../parameters.ts';
import { isProblem, problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { among, anything, object, optional, text } from '../schema.ts';

const sought = text({ minLength: 1, maxLength: 200 });
const forms = { json: JSON_TYPE, html: 'text/html', csv: 'text/csv' } as const;

/** That no job is as it was asked for, and what was asked for by a name that none has. */
const noJob = (asked: { readonly pack: string }, unknown: readonly UnknownValue[] = []) =>
  problem(
    'no-such-job',
    unknown.length === 0
      ? `The store has no such job of ${asked.pack}.`
      : unknown.map(({ says }) => says).join(' '),
    {
      ...(unknown[0] === undefined ? {} : { pointer: `/query/${unknown[0].name}` }),
      operands: { ...asked, ...(unknown.length === 0 ? {} : { unknown }) },
    },
  );

/** How what was measured lies against its limits, over the jobs of the store. */
export const readingsRoutes = ({ queue, storeFolder }: Context): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/spread', operationId: 'getSpread', tag: 'records' },
    summary: 'How what was measured lies against its limits, over the jobs of a pack',
    description:
      'It reads every record of the pack, on a thread beside the jobs; with many jobs the answer takes its time. The form is the one that `form` names, or else the one that Accept likes best.',
    query: object({
      pack: text({ minLength: 1, maxLength: 200, examples: ['marram-unit-pumps'] }),
      of: text({
        ...{ minLength: 1, maxLength: 200, examples: ['drift-limits'] },
        description: 'A tolerance, or what is measured, without its place',
      }),
      revision: optional(sought),
      procedure: optional(sought),
      variant: optional(sought),
      from: optional(dayInQuery),
      until: optional(dayInQuery),
      form: optional(among(['json', 'html', 'csv'])),
    }),
    answers: {
      200: {
        description: 'How it lies, in the form that was asked for',
        content: {
          [JSON_TYPE]: anything({
            type: 'object',
            description:
              'ferrule-readings-1; packages/compare/schema/readings.schema.json says what stands in it',
          }),
          'text/html': text(),
          'text/csv': text(),
        },
      },
    },
    fails: ['no-such-job', 'not-acceptable', 'too-much-waiting', 'no-store-folder'],
    handle: async ({ query: { form, ...asked }, request }) => {
      const type = form === undefined ? accepted(request.headers.accept, Object.values(forms)) : forms[form];
      if (type === undefined)
        return problem('not-acceptable', 'It is JSON, HTML or CSV.', {
          operands: { types: Object.values(forms) },
        });
      const wrong = daysProblem(asked);
      if (wrong !== undefined) return wrong;
      if (storeFolder === undefined)
        return problem('no-store-folder', 'This server was not told where the folder of its store is.');
      const work = queue.ask('readings', JSON.stringify(asked), { ...asked, store: storeFolder });
      if (isProblem(work)) return work;
      const found = await work.answer;
      if ('nothing' in found)
        return found.nothing === 'no-job'
          ? noJob(asked, found.unknown)
          : problem('invalid-request', `No job of ${asked.pack} measures or judges ${asked.of}.`, {
              ...{ pointer: '/query/of', operands: { of: asked.of, names: found.names } },
            });
      const { document } = found;
      if (type === 'text/html') return page(readingsHtml(document));
      if (type === JSON_TYPE) return { status: 200, json: document };
      return {
        ...{ status: 200, type: 'text/csv; charset=utf-8', content: readingsCsv(document) },
        headers: { 'content-disposition': 'attachment; filename="spread.csv"' },
      };
    },
  }),
];
