import type { IncomingMessage } from 'node:http';
import type { FastifyInstance } from 'fastify';
import { type Problem, problem } from '../problem.ts';
import { answerOn } from './failures.ts';

/** Requests of HTTP that Node answers by itself, without a body that says why: these get their problem, too. */
export function answerOddRequests(app: FastifyInstance): void {
  app.server.on('checkExpectation', (request: IncomingMessage) => {
    const { expect = '' } = request.headers;
    const detail = `Expect: ${expect.slice(0, 100)} is nothing that is met here.`;
    answerOn(
      request.socket,
      problem('expectation-failed', detail, { operands: { expect: expect.slice(0, 100) } }),
    );
  });
  app.server.on('connect', (request: IncomingMessage) => {
    const allow = 'GET, HEAD, POST';
    const found = problem('method-not-allowed', 'CONNECT is for proxies, and this is none.', {
      operands: { allow },
    });
    answerOn(request.socket, found, { allow });
  });
}

/** A request that does not say once under which name it was made (RFC 9112, 3.2); undefined for one that may go on. */
export function unclearHost({ rawHeaders, httpVersion }: IncomingMessage): Problem | undefined {
  const hosts = rawHeaders.filter((name, place) => place % 2 === 0 && name.toLowerCase() === 'host').length;
  if (hosts > 1) return problem('malformed-request', `It has ${hosts} Host headers.`);
  return hosts === 0 && httpVersion !== '1.0'
    ? problem('malformed-request', 'It has no Host header.')
    : undefined;
}

/** A body that would have to be unpacked first (RFC 9110, 8.4); undefined where there is none. */
export function packedBody({ headers }: Pick<IncomingMessage, 'headers'>): Problem | undefined {
  const {
    'content-encoding': coding = '',
    'content-length': length = '0',
    'transfer-encoding': sent,
  } = headers;
  const isPacked = coding.split(',').some((one) => !['', 'identity'].includes(one.trim().toLowerCase()));
  if (!isPacked || (sent === undefined && Number(length) === 0)) return undefined;
  return problem('other-content-coding', `Content-Encoding: ${coding.slice(0, 100)} is not undone here.`, {
    operands: { coding: coding.slice(0, 100) },
  });
}
