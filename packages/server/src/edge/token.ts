import { createHash, timingSafeEqual } from 'node:crypto';
import { type Problem, problem } from '../problem.ts';

const digest = (text: string): Buffer => createHash('sha256').update(text).digest();

/** Whether a request carries the token (RFC 6750). How long that takes says nothing of how much of it was right. */
export function tokenCheck(token: string): (authorization: string | undefined) => Problem | undefined {
  const wanted = digest(token);
  return (authorization) => {
    const [, given] = /^Bearer +([^ ]+) *$/i.exec(authorization ?? '') ?? [];
    if (given !== undefined && timingSafeEqual(digest(given), wanted)) return undefined;
    return problem(
      'no-token',
      given === undefined ? 'No token was sent.' : 'The token that was sent is another one.',
    );
  };
}
