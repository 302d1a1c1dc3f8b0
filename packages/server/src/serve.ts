import { statSync } from 'node:fs';
import { join } from 'node:path';
import { deferral } from '@ferrule/print';
import { folderStore, makeStore } from '@ferrule/records';
import { jobKeys, type Policy, readPrivateKey, shortKeyId } from '@ferrule/signing';
import { policyFile as policyFileName, readPolicyFile } from '@ferrule/source';
import { createServer, type ServerOptions } from './create-server.ts';
import { isLoopback } from './edge/hosts.ts';
import { readToken } from './edge/token-file.ts';
import { hasPage } from './routes/page.ts';

type Server = ReturnType<typeof createServer>;

/** How a server is asked for. */
export interface ServeCall {
  /** Folders that hold packs as `<pack>/<revision>`. */
  readonly packs: readonly string[];
  /** Folder of the store. */
  readonly jobs: string;
  readonly host: string;
  readonly port: number;
  /** Takes the next port that is free, of a few, where something else listens at this one. */
  readonly orNextPort?: boolean;
  readonly tokenFile?: string;
  /** The private key that jobs are signed with when they are closed here. */
  readonly keyFile?: string;
  /** The policy; else policy.yaml beside the packs, where there is one. */
  readonly policyFile?: string;
  readonly names?: readonly string[];
  /** The terms of an address that others reach were read. */
  readonly acceptsTerms?: boolean;
  /** The folder of the built page; without it there is the interface alone. */
  readonly page?: string;
  /** Told of what must not happen, in one line. */
  readonly onDefect: (line: string) => void;
  /** Told of what somebody has to look after, in one line. */
  readonly onNote: (line: string) => void;
}

/** A server that listens. */
export interface Serving {
  /** Where it is reached from this machine. */
  readonly url: string;
  /** What to say about it. */
  readonly says: readonly string[];
  /** Takes no more requests, finishes those that are under way, ends the streams; nothing that was confirmed depends on it. */
  stop(): Promise<void>;
}

/** What goes for an address that other machines reach, to be read before it is used. */
const terms: readonly string[] = [
  'Other machines reach this address. What goes for that:',
  '- Whoever has the token may begin jobs, give any command in the name of anybody, and read every record of the store.',
  '- This server has no TLS: anybody on the way can read the token. Put a reverse proxy with TLS before it, or use a network that only the workshop is on.',
  '- The proxy passes the Host header on, and --name says which names it has.',
  '- Give the token to programs that you trust, change it when one of them is gone, and keep copies of the store elsewhere.',
];

/** How long requests that are under way may take when the server stops, in milliseconds. */
const PATIENCE = 5000;

/** Opens the store, and listens. Or says in a few lines why not. */
export async function serve(call: ServeCall): Promise<Serving | { readonly wrong: readonly string[] }> {
  const {
    packs,
    jobs,
    host,
    port,
    tokenFile,
    keyFile,
    policyFile,
    names = [],
    page,
    onDefect,
    onNote,
  } = call;
  const isPageThere = page !== undefined && hasPage(page);
  const isOpen = !isLoopback(host);
  if (isOpen && tokenFile === undefined)
    return { wrong: [`${host} is reached by other machines, so --token-file is needed.`, ...terms] };
  if (isOpen && call.acceptsTerms !== true)
    return { wrong: [...terms, 'If that is what you want, add --accept-terms.'] };
  const noFolder = packs.find((folder) => !isFolder(folder));
  if (noFolder !== undefined)
    return { wrong: [`${noFolder} is no folder. --packs names one that holds packs.`] };
  const noStore = makeStore(jobs);
  if (noStore !== undefined) return { wrong: [noStore] };
  const key = keyFile === undefined ? undefined : readPrivateKey(keyFile);
  if (key !== undefined && 'wrong' in key) return { wrong: [key.wrong] };
  const policies = await readPolicies(packs, policyFile);
  if ('wrong' in policies) return policies;
  const read = tokenFile === undefined ? undefined : readToken(tokenFile);
  if (read !== undefined && 'wrong' in read) return { wrong: [read.wrong] };
  const options: ServerOptions = {
    ...{ store: folderStore(jobs), storeFolder: jobs, packs, host, names },
    ...(read === undefined ? {} : { token: read.token }),
    ...(key === undefined ? {} : { key }),
    ...(policyFile === undefined ? {} : { policy: policyFile }),
    onNote,
    ...(isPageThere ? { page } : {}),
    onDefect: (error) => onDefect(error instanceof Error ? (error.stack ?? error.message) : String(error)),
  };
  const listening = await listen(options, host, portsFrom(port, call.orNextPort === true));
  if ('error' in listening) return { wrong: [whyNot(listening.error, host, port)] };
  const { app, url } = listening;
  return {
    url,
    says: [
      `Serving jobs in ${jobs} at ${url}`,
      ...(isPageThere ? [`The page is at ${url}/`] : []),
      `The interface is described at ${url}/openapi.json`,
      read === undefined
        ? 'No token is asked for: everybody on this machine may do everything.'
        : `Each request needs the token of ${tokenFile}.`,
      ...(key === undefined
        ? ['Jobs that are closed here stay unsigned: there was no --key.']
        : [
            `Jobs that are closed here are signed with the key ${shortKeyId(key.id)}, which is that of this server.`,
            ...(key.unchecked === undefined ? [] : [key.unchecked]),
            ...policies.found.flatMap(({ path, policy }) =>
              jobKeys(policy).some((one) => one.id === key.id)
                ? []
                : [
                    `The policy ${path} does not name this key under jobs, so verify does not take it by that.`,
                  ],
            ),
          ]),
      ...(policies.found.length === 0
        ? ['There is no policy: of a release it is said who signed it, and not that it is approved.']
        : policies.found.map(({ path }) => `Releases are held against the policy ${path}.`)),
      deferral,
    ],
    stop: async () => {
      const hurry = setTimeout(() => app.server.closeAllConnections(), PATIENCE);
      await app.close();
      clearTimeout(hurry);
    },
  };
}

/** How many ports behind the one that was asked for are tried. Behind them any that is free will do. */
const NEXT_PORTS = 9;

const portsFrom = (port: number, orNext: boolean): readonly [number, ...number[]] =>
  orNext ? [port, ...Array.from({ length: NEXT_PORTS }, (_, index) => port + 1 + index), 0] : [port];

/** A server at the first of these ports that nothing else listens at; or why not. */
async function listen(
  options: ServerOptions,
  host: string,
  [port, ...others]: readonly [number, ...number[]],
): Promise<{ readonly app: Server; readonly url: string } | { readonly error: unknown }> {
  const app = createServer({ ...options, port });
  try {
    return { app, url: await app.listen({ host, port }) };
  } catch (error) {
    await app.close();
    const [next, ...rest] = others;
    return next !== undefined && codeOf(error) === 'EADDRINUSE'
      ? listen(options, host, [next, ...rest])
      : { error };
  }
}

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error);

/** The policies that count, each once; or every fault in them, since one with a fault is none. */
async function readPolicies(
  packs: readonly string[],
  named: string | undefined,
): Promise<
  | { readonly found: readonly { readonly path: string; readonly policy: Policy }[] }
  | { readonly wrong: readonly string[] }
> {
  const beside = packs.map((folder) => join(folder, policyFileName)).filter(isFile);
  const found: { readonly path: string; readonly policy: Policy }[] = [];
  for (const path of named === undefined ? new Set(beside) : [named]) {
    const { policy, diagnostics } = await readPolicyFile(path);
    if (policy !== undefined) found.push({ path, policy });
    else
      return {
        wrong: diagnostics.map(({ message, remedy, span }) => {
          const place = span === undefined ? '' : `${path}:${span.line}:${span.column} `;
          return `${place}${message}${remedy === undefined ? '' : ` ${remedy}`}`;
        }),
      };
  }
  return { found };
}

const isFile = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;

const isFolder = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;

function whyNot(error: unknown, host: string, port: number): string {
  const code = codeOf(error);
  if (code === 'EADDRINUSE')
    return `Something else listens at port ${port} of ${host}. Name another one with --port.`;
  if (code === 'EACCES')
    return `Port ${port} may not be used by this user. Name one from 1024 on with --port.`;
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') return `This machine has no address ${host}.`;
  return `Nothing can be listened at ${host}, port ${port} (${code}).`;
}
