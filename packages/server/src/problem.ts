import { refusalSchema } from './engine-schemas.ts';
import {
  among,
  anything,
  count,
  list,
  map,
  named,
  object,
  optional,
  type TypeOf,
  text,
  word,
} from './schema.ts';

/** The version of every document that this server sends. */
export const httpFormat = 'ferrule-http-1';

/** Every way in which a request can fail: its status, what it is, and what to do. There are no others. */
export const problems = {
  'no-such-address': {
    status: 404,
    title: 'There is nothing at this address',
    remedy: 'GET /openapi.json lists the addresses.',
  },
  'method-not-allowed': {
    status: 405,
    title: 'This address does not take this method',
    remedy: 'The header Allow names those that it takes.',
  },
  'not-acceptable': {
    status: 406,
    title: 'It is not kept in the form that was asked for',
    remedy: 'Ask for one of the media types that operands name.',
  },
  'wrong-host': {
    status: 421,
    title: 'The request was made under a name that is not this server’s',
    remedy:
      'Call it by the address that it printed when it started, or start it with --name for another name.',
  },
  'foreign-origin': {
    status: 403,
    title: 'The request comes from a page of somebody else',
    remedy: 'A page of another origin cannot use this server. Let a program of your own call it instead.',
  },
  'no-token': {
    status: 401,
    title: 'The token is missing or wrong',
    remedy:
      'Send the header Authorization: Bearer, and the token from the file that the server was started with.',
  },
  'too-many-requests': {
    status: 429,
    title: 'Too many requests in a short time',
    remedy: 'Wait as many seconds as Retry-After says, and send it again.',
  },
  'request-too-slow': {
    status: 408,
    title: 'The request did not arrive in time',
    remedy: 'Send it again, faster or in smaller parts.',
  },
  'malformed-request': {
    status: 400,
    title: 'This is no request that can be read',
    remedy: 'Send HTTP/1.1 with one Host header, and at most 16 kB of headers.',
  },
  'expectation-failed': {
    status: 417,
    title: 'The request expects something that is not met here',
    remedy: 'Leave out the header Expect, or send Expect: 100-continue.',
  },
  'malformed-body': {
    status: 400,
    title: 'The body cannot be read as JSON',
    remedy: 'Send UTF-8 JSON (RFC 8259), without the keys __proto__ and constructor.',
  },
  'other-media-type': {
    status: 415,
    title: 'The body is of a media type that is not taken here',
    remedy: 'Send the media type that /openapi.json names for this address.',
  },
  'other-content-coding': {
    status: 415,
    title: 'The body is packed in a way that is not undone here',
    remedy: 'Send the body as it is, without Content-Encoding.',
  },
  'too-large': {
    status: 413,
    title: 'The body is larger than this address takes',
    remedy: 'Send less: operands say how many bytes are taken.',
  },
  'invalid-request': {
    status: 400,
    title: 'The request does not have the form that is asked for',
    remedy: 'pointer says where. /openapi.json has the form with an example.',
  },
  'no-such-pack': {
    status: 404,
    title: 'There is no such pack on the shelf',
    remedy: 'GET /packs lists those that there are.',
  },
  'no-such-procedure': {
    status: 404,
    title: 'The pack has no such job for this engine',
    remedy: 'GET /packs/{pack}/{revision} lists procedures and their variants.',
  },
  'faulty-pack': {
    status: 409,
    title: 'The pack has faults, and no job runs on it',
    remedy: 'ferrule check names them, with the file and the line.',
  },
  'faulty-policy': {
    status: 409,
    title: 'The policy has faults, and no pack is held against it',
    remedy: 'ferrule check of a pack, with the same --policy, names them with the line.',
  },
  'examination-gave-up': {
    status: 503,
    title: 'The pack takes more memory or time than one here may have',
    remedy:
      'Run ferrule check or ferrule trial in a terminal; where the proof is cut short there too, split the pack.',
  },
  'no-such-job': {
    status: 404,
    title: 'There is no such job in the store',
    remedy: 'GET /jobs lists those that there are.',
  },
  'no-such-photograph': {
    status: 404,
    title: 'The store has no picture with this digest',
    remedy: 'POST /jobs/{job}/photographs keeps one.',
  },
  'no-such-bundle': {
    status: 404,
    title: 'Neither store nor shelf has a pack with this digest',
    remedy: 'GET /jobs/{job} says by which digest its pack is known, GET /packs those on the shelf.',
  },
  'unreadable-job': {
    status: 409,
    title: 'The record of the job cannot be relied on',
    remedy:
      'ferrule verify names what was changed. Put back a copy from before, or begin the job anew; do not mend it by hand.',
  },
  'pack-not-at-hand': {
    status: 409,
    title: 'The pack that the job was started with is not at hand',
    remedy:
      'Put that very revision back on the shelf. Jobs that are begun by this version keep theirs in the store.',
  },
  'id-used': {
    status: 409,
    title: 'This id was used for something else',
    remedy: 'Give every new command an id of its own. Only the same request may be sent again under its id.',
  },
  'stale-sequence': {
    status: 409,
    title: 'The job has moved on since the request was made',
    remedy: 'Look at the job again, and send what still applies, under a new id.',
  },
  refused: {
    status: 422,
    title: 'The job does not take this now, and nothing has changed',
    remedy: 'refusals say why, and what to do.',
  },
  'no-picture': {
    status: 422,
    title: 'This is no picture that is kept',
    remedy: 'Send a PNG, a JPEG or a WebP picture of at most 20 MB.',
  },
  'bad-record': {
    status: 422,
    title: 'This is no record that is taken in',
    remedy: 'Send what GET /jobs/{job}/record gave, byte for byte. operands say what is wrong with it.',
  },
  'job-exists': {
    status: 409,
    title: 'The store has a job of this name with another history',
    remedy: 'Nothing is ever overwritten. Take the record into another store, and compare.',
  },
  'not-written': {
    status: 503,
    title: 'The store cannot be written, and nothing was recorded',
    remedy: 'See that the disk has room and may be written, and send it again under the same id.',
  },
  'store-gone': {
    status: 503,
    title: 'The folder of the store is not there',
    remedy:
      'Put it back where it was, or mount its disk again: the server goes on by itself. Then send it again, under the same id.',
  },
  'no-such-rejudging': {
    status: 404,
    title: 'There is no such rejudging',
    remedy: 'GET /rejudgings lists those that are kept. Of many the oldest go.',
  },
  'rejudging-under-way': {
    status: 409,
    title: 'Another rejudging is under way',
    remedy: 'Wait until it is done, or stop it: operands say which. Then send the same again.',
  },
  'not-done': {
    status: 409,
    title: 'The rejudging has no report',
    remedy:
      'Wait while it is under way. One that is cut off goes on when it is asked for again under its id; begin one that was stopped or failed anew, under another id.',
  },
  'no-store-folder': {
    status: 501,
    title: 'This server does not know the folder of its store',
    remedy: 'Use the command for it, or start the server by ferrule serve; to embed it, name storeFolder.',
  },
  'too-many-streams': {
    status: 503,
    title: 'Too many streams are open',
    remedy: 'Close one that is no longer looked at, or ask for /jobs/{job}/facts now and then.',
  },
  'too-much-waiting': {
    status: 503,
    title: 'Too much that takes long is waiting',
    remedy: 'Send it again in some seconds.',
  },
  stopping: {
    status: 503,
    title: 'The server is stopping',
    remedy: 'Send it again, under the same id, when the server runs again.',
  },
  defect: {
    status: 500,
    title: 'A defect of Ferrule itself',
    remedy:
      'Whether something was recorded, GET /jobs/{job}/facts says. Send it again under the same id, and report it.',
  },
} as const satisfies Readonly<
  Record<string, { readonly status: number; readonly title: string; readonly remedy: string }>
>;

export type ProblemCode = keyof typeof problems;

const isCode = (text: string): text is ProblemCode => Object.hasOwn(problems, text);
export const problemCodes: readonly ProblemCode[] = Object.keys(problems).filter(isCode);

const [first, ...others] = problemCodes;

/** The media type of what a request that failed is answered with (RFC 9457). */
export const problemType = 'application/problem+json';

/** Problem details as RFC 9457 has them, with members of our own. */
export const problemSchema = named(
  'Problem',
  object(
    {
      format: word(httpFormat),
      type: text({
        description: 'Where this kind of problem is described: an address of this server',
        examples: ['/problems/id-used'],
      }),
      status: count({ description: 'That of the answer' }),
      title: text({ description: 'The same for every problem of this code' }),
      detail: text({ description: 'What was found, in one sentence' }),
      code: among(first === undefined ? [] : [first, ...others], { description: 'docs/http.md lists them' }),
      remedy: text({ description: 'What to do' }),
      pointer: optional(
        text({
          description:
            'Where in the body (RFC 6901); of an address, /query or /path and the name of the parameter',
        }),
      ),
      operands: optional(map(anything(), { description: 'The values that it is about' })),
      refusals: optional(
        list(refusalSchema, { description: 'Of a refused command: why, each with its remedy' }),
      ),
    },
    { description: 'Why a request failed (RFC 9457)' },
  ),
);

export type Problem = TypeOf<typeof problemSchema>;

/** A problem with what was found. `remedy` takes the place of that of its code. */
export function problem(
  code: ProblemCode,
  detail: string,
  more: Pick<Problem, 'pointer' | 'operands' | 'refusals'> & { readonly remedy?: string } = {},
): Problem {
  const { status, title, remedy } = problems[code];
  return { format: httpFormat, type: `/problems/${code}`, status, title, detail, code, remedy, ...more };
}

export const isProblem = (value: unknown): value is Problem =>
  typeof value === 'object' &&
  value !== null &&
  'code' in value &&
  'type' in value &&
  typeof value.code === 'string' &&
  value.type === `/problems/${value.code}` &&
  isCode(value.code);
