import { Readable } from 'node:stream';
import type { FastifyInstance, FastifyReply, FastifyRequest, RouteOptions } from 'fastify';
import {
  isProblem,
  type Problem,
  type ProblemCode,
  problemSchema,
  problems,
  problemType,
} from './problem.ts';
import type { Schema } from './schema.ts';

/** What a request is answered with when it did not fail. */
export type Answer = {
  readonly status: number;
  readonly headers?: Readonly<Record<string, string>>;
} & (
  | { readonly json: unknown }
  | { readonly type: string; readonly content: string | Uint8Array | Readable }
);

/** One address with one method: what it takes, how it can be answered, and by whom. */
export interface Route<Path, Query, Body> {
  readonly method: 'GET' | 'POST';
  readonly url: string;
  /** Its name in the OpenAPI document, by which generated clients call it. */
  readonly operationId: string;
  readonly tag: 'packs' | 'jobs' | 'records' | 'server';
  readonly summary: string;
  readonly description?: string;
  readonly path?: Schema<Path>;
  readonly query?: Schema<Query>;
  readonly headers?: Schema<unknown>;
  readonly body?: Schema<Body>;
  /** Media types of a body that is no JSON; it comes as bytes. */
  readonly takes?: readonly string[];
  readonly bodyLimit?: number;
  /** The successful answers, by status: what each is, and the schema of each media type. */
  readonly answers: Readonly<Record<number, SaidAnswer>>;
  /** The ways to fail that are this route's own. Those of every route are not repeated. */
  readonly fails: readonly ProblemCode[];
  /** Answers, or says what is wrong; nothing where it has written to the connection itself. */
  handle(
    input: Input<Path, Query, Body>,
  ): Promise<Answer | Problem | undefined> | Answer | Problem | undefined;
}

export interface SaidAnswer {
  readonly description: string;
  /** By media type; none for an answer without a body. */
  readonly content?: Readonly<Record<string, Schema<unknown>>>;
}

export interface Input<Path, Query, Body> {
  readonly path: Path;
  readonly query: Query;
  readonly body: Body;
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
}

/** A route that is ready to be added. */
export interface Ready {
  readonly parts: ReadonlyMap<string, unknown>;
  /** `fails` are further ways to fail, of where it is added. */
  add(app: FastifyInstance, fails?: readonly ProblemCode[]): void;
}

/** The ways to fail that any request has. */
const anyFails: readonly ProblemCode[] = [
  ...(['malformed-request', 'invalid-request', 'no-token', 'foreign-origin', 'request-too-slow'] as const),
  ...(['expectation-failed', 'other-content-coding'] as const),
  ...(['wrong-host', 'too-many-requests', 'defect', 'stopping'] as const),
];

export const JSON_TYPE = 'application/json';

/** Makes a route ready; what its handler takes is what its schemas let through. */
export function route<Path, Query, Body>(of: Route<Path, Query, Body>): Ready {
  const { path, query, headers, body, answers, takes } = of;
  const said = Object.values(answers).flatMap(({ content }) => Object.values(content ?? {}));
  const all = [path, query, headers, body, ...said].flatMap((one) => one ?? []);
  return {
    parts: new Map([...all.flatMap(({ parts }) => [...parts]), ...problemSchema.parts]),
    add: (app, fails = []) => {
      const options: RouteOptions = {
        method: of.method,
        url: of.url,
        // A stream has no end to which a HEAD could be answered.
        exposeHeadRoute: of.method === 'GET' && !Object.values(answers).some(isStream),
        ...(of.bodyLimit === undefined ? {} : { bodyLimit: of.bodyLimit }),
        schema: {
          operationId: of.operationId,
          tags: [of.tag],
          summary: of.summary,
          ...(of.description === undefined ? {} : { description: of.description }),
          ...(path === undefined ? {} : { params: path.json }),
          ...(query === undefined ? {} : { querystring: query.json }),
          ...(headers === undefined ? {} : { headers: headers.json }),
          ...(body === undefined ? {} : { body: body.json }),
          ...(takes === undefined ? {} : { body: bytesOf(takes) }),
          response: { ...answersOf(answers), ...failuresOf([...of.fails, ...fails]) },
        },
        handler: async (request, reply) => {
          // The schemas have let it through, and their types are these.
          const input = {
            path: request.params as Path,
            query: request.query as Query,
            body: request.body as Body,
          };
          const answer = await of.handle({ ...input, request, reply });
          if (answer === undefined) return reply;
          return isProblem(answer) ? sendProblem(reply, answer) : send(reply, answer);
        },
      };
      if (takes === undefined) app.route(options);
      else
        void app.register(async (inside) => {
          inside.removeAllContentTypeParsers();
          const asItIs = async (_request: unknown, bytes: Buffer): Promise<Buffer> => bytes;
          inside.addContentTypeParser([...takes], { parseAs: 'buffer' }, asItIs);
          inside.route(options);
        });
    },
  };
}

const isStream = ({ content }: SaidAnswer): boolean =>
  content !== undefined && 'text/event-stream' in content;

const bytesOf = (types: readonly string[]) => ({
  content: Object.fromEntries(types.map((type) => [type, { schema: {} }])),
});

const answersOf = (answers: Readonly<Record<number, SaidAnswer>>) =>
  Object.fromEntries(
    Object.entries(answers).map(([status, { description, content }]) => [
      status,
      content === undefined
        ? { description, type: 'null' }
        : {
            description,
            content: Object.fromEntries(
              Object.entries(content).map(([type, schema]) => [type, { schema: schema.json }]),
            ),
          },
    ]),
  );

function failuresOf(codes: readonly ProblemCode[]): Readonly<Record<string, unknown>> {
  const byStatus = new Map<string, ProblemCode[]>();
  for (const code of codes) {
    const status = String(problems[code].status);
    byStatus.set(status, [...(byStatus.get(status) ?? []), code]);
  }
  byStatus.set('default', [...anyFails]);
  const content = { [problemType]: { schema: problemSchema.json } };
  return Object.fromEntries(
    [...byStatus].map(([status, of]) => [
      status,
      { description: of.map((code) => `\`${code}\`: ${problems[code].title}`).join('. '), content },
    ]),
  );
}

function send(reply: FastifyReply, answer: Answer): FastifyReply {
  reply.code(answer.status).headers(answer.headers ?? {});
  if ('json' in answer) return reply.type(JSON_TYPE).send(answer.json);
  const { type, content } = answer;
  const isSentAsItIs = typeof content === 'string' || content instanceof Readable;
  return reply.type(type).send(isSentAsItIs ? content : Buffer.from(content));
}

export function sendProblem(reply: FastifyReply, problem: Problem): FastifyReply {
  return reply.code(problem.status).type(problemType).serializer(JSON.stringify).send(problem);
}
