import { isUtf8 } from 'node:buffer';
import { relative, resolve } from 'node:path';
import helmet from '@fastify/helmet';
import rateLimit from '@fastify/rate-limit';
import swagger from '@fastify/swagger';
import type { JobStore } from '@ferrule/records';
import type { PrivateKey } from '@ferrule/signing';
import { type FastifyInstance, fastify } from 'fastify';
import type { Context } from './context.ts';
import { answerConnection, answerFailures } from './edge/failures.ts';
import { namesOf, strangeCaller } from './edge/hosts.ts';
import { answerOddRequests, packedBody, unclearHost } from './edge/odd-requests.ts';
import { tokenCheck } from './edge/token.ts';
import { halfCharacter, validators } from './edge/validators.ts';
import { Examinations } from './examine/examinations.ts';
import { Desk, storeGone } from './jobs/desk.ts';
import { notedStore } from './jobs/noted-store.ts';
import { Plans } from './jobs/plans.ts';
import { Streams } from './jobs/streams.ts';
import { type Limits, limits } from './limits.ts';
import { Behaviours } from './long-work/behaviours.ts';
import { WorkQueue } from './long-work/work-queue.ts';
import { Policies } from './packs/policies.ts';
import { Shelf } from './packs/shelf.ts';
import { problem, problemSchema } from './problem.ts';
import { Rejudgings } from './rejudgings/rejudgings.ts';
import { sendProblem } from './route.ts';
import { bundleRoutes } from './routes/bundles.ts';
import { examinationRoutes } from './routes/examinations.ts';
import { jobRoutes } from './routes/jobs.ts';
import { packRoutes } from './routes/packs.ts';
import { addPage } from './routes/page.ts';
import { photographRoutes } from './routes/photographs.ts';
import { readingsRoutes } from './routes/readings.ts';
import { recordRoutes } from './routes/records.ts';
import { rejudgingRoutes } from './routes/rejudgings.ts';
import { serverRoutes } from './routes/server.ts';

/** What a server works with. */
export interface ServerOptions {
  readonly store: JobStore;
  /** The folder of the store, from which a job says where its pack was, and in which jobs are judged again. */
  readonly storeFolder?: string;
  /** Folders that hold packs as `<pack>/<revision>`. */
  readonly packs: readonly string[];
  /** Where it listens: the names under which it may be called follow from it. */
  readonly host?: string;
  readonly port?: number;
  /** Further names under which it is called, as a Host header has them. */
  readonly names?: readonly string[];
  /** What each request has to carry. Without one everybody on this machine may do everything. */
  readonly token?: string;
  /** What a job is signed with when it is closed here. Without one it stays unsigned. */
  readonly key?: PrivateKey;
  /** The file that says which keys may release what; else policy.yaml beside the packs, where there is one. */
  readonly policy?: string;
  readonly now?: () => Date;
  /** The folder of the built page, which is then sent at `/`. */
  readonly page?: string;
  /** Told of what must not happen. */
  readonly onDefect?: (error: unknown) => void;
  /** Told in one line what the store could not write, and why; the line may name files of this machine. */
  readonly onNote?: (line: string) => void;
  /** Instead of those that a server has. */
  readonly limits?: Partial<Limits>;
}

const description = [
  'Runs jobs of workshop procedures. Every document carries its format; every one that shows a job carries the notice of its',
  'pack, how that was released, and the sentence that defers to the engine maker. Show all three wherever a job is shown.',
  'Ferrule never says that a job is safe.',
].join(' ');

/**
 * The server, ready to listen or to be asked by `inject`. Its interface stands in /openapi.json, made from the schemas that
 * requests are held against.
 */
export function createServer(options: ServerOptions): FastifyInstance {
  const { packs, host = '127.0.0.1', port = 8321, names = [], token, now = () => new Date() } = options;
  const onNote = options.onNote ?? (() => undefined);
  const store = notedStore(options.store, onNote);
  const bounds = { ...limits, ...options.limits };
  const app = fastify({
    bodyLimit: bounds.body,
    requestTimeout: bounds.requestTime,
    keepAliveTimeout: bounds.idleTime,
    forceCloseConnections: 'idle',
    return503OnClosing: false,
    onProtoPoisoning: 'error',
    onConstructorPoisoning: 'error',
    http: {
      headersTimeout: bounds.headersTime,
      maxHeaderSize: bounds.headers,
      connectionsCheckingInterval: Math.min(1000, bounds.headersTime),
      // Node would answer it without a problem.
      requireHostHeader: false,
    },
    clientErrorHandler: answerConnection,
    frameworkErrors: (_error, _request, reply) =>
      void sendProblem(reply, problem('no-such-address', 'The address cannot be read.')),
  });
  // A page of another origin can send plain text without being asked whether it may.
  app.removeContentTypeParser('text/plain');
  takeUtf8Alone(app);
  app.server.maxConnections = bounds.connections;
  const shelf = new Shelf(packs, new Policies(options.policy));
  const desk = new Desk(store, new Plans(store, shelf));
  const streams = new Streams(desk, store, bounds.streams);
  const onDefect = options.onDefect ?? (() => undefined);
  const queue = new WorkQueue(bounds);
  const examinations = new Examinations(queue);
  const behaviours = new Behaviours(queue);
  const rejudgings = new Rejudgings({
    ...{ store, shelf, queue, now, onDefect, onNote, most: bounds.rejudgings },
    storeFolder: options.storeFolder,
  });
  const context: Context = {
    ...{ store, desk, shelf, examinations, streams, queue, behaviours, rejudgings, now, key: options.key },
    storeFolder: options.storeFolder,
    pathTo: (folder) =>
      options.storeFolder === undefined
        ? ''
        : relative(resolve(options.storeFolder), resolve(folder)).replaceAll('\\', '/'),
  };
  const ready = [
    ...serverRoutes(app),
    ...packRoutes(context),
    ...examinationRoutes(context),
    ...bundleRoutes(context),
  ];
  const onStore = [
    ...jobRoutes(context),
    ...photographRoutes(context),
    ...recordRoutes(context),
    ...rejudgingRoutes(context),
    ...readingsRoutes(context),
  ];
  const parts = new Map([...problemSchema.parts, ...[...ready, ...onStore].flatMap((one) => [...one.parts])]);
  for (const [name, schema] of parts) app.addSchema({ ...Object(schema), $id: name });
  app.setValidatorCompiler(validators(parts));
  // What is sent is what was made: nothing is left out because a schema does not know it. Tests hold it against the schemas.
  app.setSerializerCompiler(() => JSON.stringify);
  answerOddRequests(app);
  answerFailures(app, onDefect);
  guard(app, { host, port, names, token, bounds });
  let isStopping = false;
  app.addHook('preClose', async () => {
    isStopping = true;
    streams.end();
    rejudgings.cutOff();
    await queue.close();
  });
  app.addHook('onRequest', async (_request, reply) => {
    if (isStopping) return sendProblem(reply, problem('stopping', 'The server is stopping.'));
    return undefined;
  });
  app.addHook('onSend', async (_request, reply) => {
    if (isStopping) reply.header('connection', 'close');
    // The time that facts bear, by which a client can tell what its own clock is worth.
    reply.header('date', now().toUTCString());
  });
  app.addHook('onRequest', async ({ raw }, reply) => {
    const packed = packedBody(raw);
    if (packed === undefined) return undefined;
    reply.header('accept-encoding', 'identity');
    return sendProblem(reply, packed);
  });
  app.addHook('preHandler', async ({ body }, reply) => {
    const pointer = Buffer.isBuffer(body) ? undefined : halfCharacter(body);
    if (pointer === undefined) return undefined;
    const detail = `${pointer} holds half a character, which cannot be kept.`;
    return sendProblem(reply, problem('invalid-request', detail, { pointer }));
  });
  // Reading a shelf takes its time; the first who asks for it need not wait for all of that.
  app.addHook('onListen', async () => {
    void shelf.list().catch(() => undefined);
  });
  void app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: { title: 'Ferrule', version: '0.1.0', description, license: { name: 'MIT', identifier: 'MIT' } },
      tags: [
        { name: 'packs', description: 'Procedures on the shelf' },
        { name: 'jobs', description: 'Jobs, and what is done in them' },
        { name: 'records', description: 'Records, cards and photographs' },
        { name: 'server', description: 'The interface itself' },
      ],
      ...(token === undefined
        ? {}
        : {
            components: { securitySchemes: { token: { type: 'http', scheme: 'bearer' } } },
            security: [{ token: [] }],
          }),
    },
    refResolver: { buildLocalReference: (json) => String(json['$id']) },
  });
  void app.register(async (inside) => {
    for (const one of ready) one.add(inside);
    if (options.page !== undefined) addPage(inside, options.page);
  });
  void app.register(async (inside) => {
    inside.addHook('preHandler', async (_request, reply) => {
      const gone = storeGone(store);
      return gone === undefined ? undefined : sendProblem(reply, gone);
    });
    for (const one of onStore) one.add(inside, ['store-gone']);
  });
  return app;
}

/** JSON is UTF-8 (RFC 8259, 8.1): what is not would be kept with signs in it that nobody has sent. */
function takeUtf8Alone(app: FastifyInstance): void {
  const parse = app.getDefaultJsonParser('error', 'error');
  app.removeContentTypeParser('application/json');
  app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (request, body, done) => {
    if (typeof body === 'string' || isUtf8(body)) parse(request, body.toString(), done);
    else done(new SyntaxError('the body is not UTF-8'));
  });
}

/** What stands before every route: headers, names, rates and the token. */
function guard(
  app: FastifyInstance,
  {
    host,
    port,
    names,
    token,
    bounds,
  }: {
    readonly host: string;
    readonly port: number;
    readonly names: readonly string[];
    readonly token: string | undefined;
    readonly bounds: Limits;
  },
): void {
  void app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    // Whether it is reached by TLS is known to the proxy before it.
    strictTransportSecurity: false,
    frameguard: { action: 'deny' },
    referrerPolicy: { policy: 'no-referrer' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
  });
  let allowed = namesOf(host, port, names);
  // Which port it is shows when it listens, where any was asked for.
  app.server.on('listening', () => {
    const bound = app.server.address();
    if (typeof bound === 'object' && bound !== null) allowed = namesOf(host, bound.port, names);
  });
  app.addHook('onRequest', async (request, reply) => {
    reply.header('cache-control', 'no-store');
    const strange = unclearHost(request.raw) ?? strangeCaller(allowed, request.headers);
    return strange === undefined ? undefined : sendProblem(reply, strange);
  });
  const tooMany = (_request: unknown, { ttl }: { readonly ttl: number }) =>
    problem('too-many-requests', `More than is taken from one address in a minute.`, {
      operands: { seconds: Math.ceil(ttl / 1000) },
    });
  void app.register(rateLimit, {
    max: bounds.requests,
    timeWindow: '1 minute',
    errorResponseBuilder: tooMany,
    addHeadersOnExceeding: {
      'x-ratelimit-limit': false,
      'x-ratelimit-remaining': false,
      'x-ratelimit-reset': false,
    },
  });
  if (token === undefined) return;
  const check = tokenCheck(token);
  void app.register(async (inside) => {
    const wrong = inside.createRateLimit({ max: bounds.wrongTokens, timeWindow: '1 minute' });
    app.addHook('onRequest', async (request, reply) => {
      if (request.routeOptions.config.isPublic === true) return undefined;
      const found = check(request.headers.authorization);
      if (found === undefined) return undefined;
      const tried = await wrong(request);
      if (!tried.isAllowed && tried.isExceeded) {
        reply.header('retry-after', String(tried.ttlInSeconds));
        return sendProblem(reply, tooMany(request, tried));
      }
      reply.header('www-authenticate', 'Bearer');
      return sendProblem(reply, found);
    });
  });
}
