import type { FastifyInstance } from 'fastify';
import { httpFormat, problem, problemCodes, problems } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { anything, count, named, object, text, word } from '../schema.ts';

const problemKind = named(
  'ProblemKind',
  object({
    format: word(httpFormat),
    code: text(),
    status: count(),
    title: text(),
    remedy: text(),
  }),
);

/** What the server says of itself. */
export const serverRoutes = (app: FastifyInstance): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/openapi.json', operationId: 'getOpenApi', tag: 'server' },
    summary: 'This interface, as an OpenAPI document',
    answers: {
      200: { description: 'OpenAPI 3.1', content: { [JSON_TYPE]: anything({ type: 'object' }) } },
    },
    fails: [],
    handle: () => ({ status: 200, json: app.swagger() }),
  }),
  route({
    ...{ method: 'GET', url: '/problems/:code', operationId: 'getProblem', tag: 'server' },
    summary: 'What a kind of problem is, and what to do',
    path: object({ code: text({ examples: ['id-used'] }) }),
    answers: { 200: { description: 'The kind of problem', content: { [JSON_TYPE]: problemKind } } },
    fails: ['no-such-address'],
    handle: ({ path }) => {
      const code = problemCodes.find((one) => one === path.code);
      return code === undefined
        ? problem('no-such-address', `There is no kind of problem ${path.code.slice(0, 100)}.`)
        : { status: 200, json: { format: httpFormat, code, ...problems[code] } };
    },
  }),
];
