import type { Fact } from '@ferrule/engine';
import { headersOf, problemOf } from './call.ts';
import type { Problem } from './documents.ts';
import { pathOf } from './path-of.ts';

export interface Followed {
  /** What has come in one piece: as a rule all that a command came to. */
  facts(facts: readonly Fact[]): void;
  /** Whether facts come, or the server is not reached; with the date of its answer, in milliseconds since 1970. */
  reached(isReached: boolean, date?: number): void;
  /** What the server answers instead. It is asked again all the same. */
  refused(problem: Problem): void;
}

/** Between two tries to reach the server again, in milliseconds: soon at first, then now and then. */
const SOONEST = 500;
const LATEST = 10_000;

/**
 * Follows the facts of a job as they are added, by whoever, until it is told to stop. Takes up where it was cut off. Reads the
 * stream by fetch and not by EventSource, which cannot send a token.
 */
export function followFacts(job: string, after: () => number, followed: Followed): () => void {
  const stopped = new AbortController();
  void follow(job, after, followed, stopped.signal);
  return () => stopped.abort();
}

async function follow(
  job: string,
  after: () => number,
  followed: Followed,
  stopped: AbortSignal,
): Promise<void> {
  let pause = SOONEST;
  while (!stopped.aborted) {
    let isRefused = false;
    try {
      const response = await fetch(`${pathOf(job)}/stream?after=${after()}`, {
        headers: headersOf({ accept: 'text/event-stream' }),
        signal: stopped,
      });
      // Nothing is to come: the job is closed.
      if (response.status === 204) return followed.reached(true);
      const type = response.headers.get('content-type') ?? '';
      if (!response.ok || !type.startsWith('text/event-stream')) {
        const said: unknown = await response.json().catch(() => undefined);
        isRefused = true;
        followed.refused(problemOf(said, response.status));
      } else if (response.body !== null) {
        const date = Date.parse(response.headers.get('date') ?? '');
        followed.reached(true, Number.isNaN(date) ? undefined : date);
        pause = SOONEST;
        for await (const piece of pieces(response.body)) {
          const facts = piece.filter(({ event }) => event === 'fact');
          if (facts.length > 0) followed.facts(facts.map(({ data }) => JSON.parse(data) as Fact));
          if (piece.some(({ event }) => event === 'closed')) return;
        }
      }
    } catch {
      if (stopped.aborted) return;
    }
    if (stopped.aborted) return;
    if (!isRefused) followed.reached(false);
    await new Promise((done) => setTimeout(done, pause));
    pause = Math.min(pause * 2, LATEST);
  }
}

interface ServerEvent {
  readonly event: string;
  readonly data: string;
}

/** The events of a stream (server-sent events, WHATWG HTML 9.2), by the pieces in which they come. Comments, which keep it alive, are passed over. */
async function* pieces(body: ReadableStream<Uint8Array>): AsyncGenerator<readonly ServerEvent[]> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const parts = (rest + decoder.decode(value, { stream: true })).split('\n\n');
    rest = parts.pop() ?? '';
    yield parts.flatMap(eventOf);
  }
}

function eventOf(part: string): readonly ServerEvent[] {
  const lines = part.split('\n');
  const said = (name: string): string[] =>
    lines
      .filter((line) => line.startsWith(`${name}:`))
      .map((line) => line.slice(name.length + 1).replace(/^ /, ''));
  const data = said('data').join('\n');
  return data === '' ? [] : [{ event: said('event')[0] ?? 'message', data }];
}
