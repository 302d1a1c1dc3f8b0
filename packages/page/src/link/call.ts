import type { Problem } from './documents.ts';
import { inTab } from './text-store.ts';

/** What a request has come to. `away` is no answer at all: the server was not reached, and may have done it or not. */
export type Called<T> =
  | { readonly came: 'document'; readonly document: T; readonly date?: number }
  | { readonly came: 'problem'; readonly problem: Problem }
  | { readonly came: 'away' };

/** A request that is not answered within this time counts as one that was never answered, in milliseconds. */
const PATIENCE = 15_000;

const TOKEN = 'ferrule-token';

/** The token that the server asks for, as long as this tab is open. */
export const token = {
  get: (): string | undefined => inTab.get(TOKEN),
  set: (text: string): void => {
    inTab.set(TOKEN, text);
    dispatchEvent(new Event(TOKEN));
  },
  /** Tells whoever was refused for want of it that it is there now; answers how to hear of it no longer. */
  whenGiven: (then: () => void): (() => void) => {
    addEventListener(TOKEN, then);
    return () => removeEventListener(TOKEN, then);
  },
};

export const headersOf = (more: Readonly<Record<string, string>> = {}): Record<string, string> => {
  const said = token.get();
  return { ...more, ...(said === undefined ? {} : { authorization: `Bearer ${said}` }) };
};

/** Asks for a document, or sends one; `patience` in milliseconds. What is sent again under the same id is done once: see the HTTP interface. */
export async function call<T>(path: string, body?: unknown, patience = PATIENCE): Promise<Called<T>> {
  const sent =
    body === undefined
      ? { headers: headersOf({ accept: 'application/json' }) }
      : {
          method: 'POST',
          headers: headersOf({ accept: 'application/json', 'content-type': 'application/json' }),
          body: JSON.stringify(body),
        };
  return answered<T>(path, sent, patience);
}

/** Sends a picture as it is. */
export const sendPicture = <T>(path: string, picture: Blob): Promise<Called<T>> =>
  answered<T>(path, { method: 'POST', headers: headersOf({ 'content-type': picture.type }), body: picture });

async function answered<T>(path: string, init: RequestInit, patience = PATIENCE): Promise<Called<T>> {
  try {
    const response = await fetch(path, { ...init, signal: AbortSignal.timeout(patience) });
    const date = Date.parse(response.headers.get('date') ?? '');
    const document: unknown = await response.json();
    if (!response.ok) return { came: 'problem', problem: problemOf(document, response.status) };
    const unread = unreadFormat(document, response.status);
    return unread === undefined
      ? { came: 'document', document: document as T, ...(Number.isNaN(date) ? {} : { date }) }
      : { came: 'problem', problem: unread };
  } catch {
    return { came: 'away' };
  }
}

/** Every document of the server says which it is, and in which version. */
const FORMAT = /^ferrule-[a-z-]+-(\d+)$/;
/** The version of all that this page reads. */
const VERSION = '1';

/** Why a document cannot be read here; undefined where it can. */
function unreadFormat(document: unknown, status: number): Problem | undefined {
  const format: unknown =
    typeof document === 'object' && document !== null ? Reflect.get(document, 'format') : undefined;
  const version = typeof format === 'string' ? FORMAT.exec(format)?.[1] : undefined;
  if (version === VERSION) return undefined;
  return version === undefined
    ? notOfFerrule(status)
    : {
        ...{ code: 'other-version', title: 'The server is of another version than this page', status },
        detail: `It sends ${String(format)}, which this page cannot read. What waits here is kept.`,
        remedy: 'Open the page again: the server sends the one that belongs to it.',
      };
}

/** What stands between page and server, a proxy for instance, answers in its own words. */
export function problemOf(document: unknown, status: number): Problem {
  const isOurs = (['code', 'title', 'detail', 'remedy'] as const).every(
    (name) =>
      typeof document === 'object' && document !== null && typeof Reflect.get(document, name) === 'string',
  );
  return isOurs ? (document as Problem) : notOfFerrule(status);
}

const notOfFerrule = (status: number): Problem => ({
  code: 'no-problem-document',
  title: 'The answer is not one of Ferrule',
  status,
  detail: `What answered, with status ${status}, does not say what a Ferrule server says.`,
  remedy: 'Look whether this address is that of a Ferrule server, and whether it runs.',
});
