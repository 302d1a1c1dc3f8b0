import { type Problem, problem } from '../problem.ts';

/** Addresses of this machine that no other one reaches: RFC 1122 3.2.1.3, RFC 4291 2.5.3. */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || /^127(?:\.\d{1,3}){3}$/.test(host);

/**
 * The names for an address that is listened on, and those that it is given besides (a proxy’s). Checking them keeps a page from
 * reaching this server by letting a name of its own lead here.
 */
export function namesOf(host: string, port: number, further: readonly string[]): ReadonlySet<string> {
  const bare = isLoopback(host) ? ['localhost', '127.0.0.1', '[::1]', bracketed(host)] : [bracketed(host)];
  const own = bare.flatMap((one) => (port === 80 ? [one, `${one}:80`] : [`${one}:${port}`]));
  return new Set([...own, ...further].map((one) => one.toLowerCase()));
}

const bracketed = (host: string): string => (host.includes(':') ? `[${host}]` : host);

/** A request under another name, or from a page of another origin; undefined for one that may go on. */
export function strangeCaller(
  hosts: ReadonlySet<string>,
  headers: Readonly<Record<string, string | string[] | undefined>>,
): Problem | undefined {
  const { host, origin, 'sec-fetch-site': site, 'sec-fetch-mode': mode } = headers;
  if (typeof host !== 'string' || !hosts.has(host.toLowerCase())) {
    return problem('wrong-host', 'The Host header names another server.', {
      operands: { host: typeof host === 'string' ? host.slice(0, 100) : '' },
    });
  }
  const foreign = problem('foreign-origin', 'A page of another origin has sent this.', {
    operands: { origin: typeof origin === 'string' ? origin.slice(0, 100) : '' },
  });
  if (origin !== undefined) {
    const [, from = ''] = /^https?:\/\/([^/]+)$/i.exec(String(origin)) ?? [];
    if (!hosts.has(from.toLowerCase())) return foreign;
  }
  // A browser says so of what it sends without an Origin header, such as for a picture. Following a link is no harm.
  const isElsewhere = site === 'cross-site' || site === 'same-site';
  return isElsewhere && mode !== 'navigate' ? foreign : undefined;
}
