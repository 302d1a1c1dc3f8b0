import type { Socket } from 'node:net';
import type { FastifyError, FastifyInstance } from 'fastify';
import { isProblem, type Problem, problem, problemType } from '../problem.ts';
import { sendProblem } from '../route.ts';
import { invalid } from './validators.ts';

/** What the parser and the body reader of the web framework say, as problems. */
function problemOf(error: FastifyError, bodyLimit: number): Problem | undefined {
  switch (error.code) {
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return problem('too-large', `The body has more than ${bodyLimit} bytes.`, {
        operands: { limit: bodyLimit },
      });
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
    case 'FST_ERR_CTP_INVALID_TYPE':
      return problem('other-media-type', 'The Content-Type of the body is none that is taken here.');
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
      return problem('malformed-body', 'The body is empty.');
    case 'FST_ERR_CTP_INVALID_JSON_BODY':
    case 'FST_ERR_CTP_INVALID_CONTENT_LENGTH':
      return problem('malformed-body', 'The body is no JSON, or not all of it has come.');
    case 'FST_ERR_BAD_URL':
    case 'FST_ERR_MAX_PARAM_LENGTH':
      return problem('no-such-address', 'The address cannot be read.');
    default:
      return undefined;
  }
}

/** Answers everything that goes wrong with a problem. What is our own defect is reported, and says nothing of what it was. */
export function answerFailures(app: FastifyInstance, onDefect: (error: unknown) => void): void {
  app.setErrorHandler((error: FastifyError | Problem, request, reply) => {
    if (isProblem(error)) return sendProblem(reply, error);
    const [first] = error.validation ?? [];
    if (first !== undefined) return sendProblem(reply, invalid(first, error.validationContext));
    const limit = request.routeOptions.bodyLimit ?? app.initialConfig.bodyLimit ?? 0;
    const known = problemOf(error, limit) ?? (isSyntax(error) ? unparsed() : undefined);
    if (known !== undefined) return sendProblem(reply, known);
    onDefect(error);
    return sendProblem(reply, problem('defect', 'Something went wrong that must not.'));
  });
  app.setNotFoundHandler((request, reply) => {
    const path = request.url.split('?')[0] ?? '';
    const methods = (['GET', 'POST'] as const).filter(
      (method) => app.findRoute({ method, url: path }) !== null,
    );
    if (methods.length === 0)
      return sendProblem(reply, problem('no-such-address', `There is nothing at ${path.slice(0, 100)}.`));
    const allow = methods.flatMap((one) => (one === 'GET' ? ['GET', 'HEAD'] : [one])).join(', ');
    reply.header('allow', allow);
    return sendProblem(
      reply,
      problem('method-not-allowed', `${path.slice(0, 100)} takes ${allow}.`, { operands: { allow } }),
    );
  });
}

/** JSON that cannot be parsed, or that tries to reach a prototype. */
const isSyntax = (error: unknown): boolean => error instanceof SyntaxError;
const unparsed = (): Problem =>
  problem('malformed-body', 'The body is no JSON in UTF-8, or has a key that is reserved.');

/** What a connection is answered that never came as far as a request. */
export function answerConnection(error: NodeJS.ErrnoException, socket: Socket): void {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const found =
    error.code === 'ERR_HTTP_REQUEST_TIMEOUT'
      ? problem('request-too-slow', 'The request did not arrive in time.')
      : problem('malformed-request', 'What arrived is no HTTP request, or its headers are too large.');
  answerOn(socket, found);
}

/** Writes a problem to a connection that the web framework knows nothing of, and closes it. */
export function answerOn(
  socket: Socket,
  found: Problem,
  headers: Readonly<Record<string, string>> = {},
): void {
  const body = JSON.stringify(found);
  const lines = Object.entries({
    'content-type': problemType,
    'content-length': String(Buffer.byteLength(body)),
    ...headers,
    connection: 'close',
  }).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.end(`HTTP/1.1 ${found.status} ${found.title}\r\n${lines.join('')}\r\n${body}`);
}
