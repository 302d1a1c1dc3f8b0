import type { ServerResponse } from 'node:http';
import type { JobStore } from '@ferrule/records';
import { isProblem } from '../problem.ts';
import type { Desk, OpenJob } from './desk.ts';

/** How often is looked whether another process has added to a job, in milliseconds. */
const LOOK = 500;
/** How often something is sent, so that what stands between does not take a quiet connection for a dead one. */
const BREATH = 15_000;
/** How long a browser waits before it comes back. */
const RETRY = 2000;
/** How many facts are written before other requests have their turn. */
const AT_ONCE = 200;

/** One open connection, and what it has been sent. */
interface Stream {
  readonly job: string;
  readonly to: ServerResponse;
  seq: number;
  stamp: string | undefined;
  isBusy: boolean;
  isChanged: boolean;
  leave(): void;
}

/**
 * The facts of jobs as events (WHATWG HTML, server-sent events), for everybody who looks at a job. What another process adds is
 * seen by the stamp of the record.
 */
export class Streams {
  readonly #desk: Desk;
  readonly #store: JobStore;
  readonly #most: number;
  readonly #open = new Set<Stream>();
  #looking: NodeJS.Timeout | undefined;
  #breathing: NodeJS.Timeout | undefined;

  constructor(desk: Desk, store: JobStore, most: number) {
    this.#most = most;
    this.#desk = desk;
    this.#store = store;
  }

  get isFull(): boolean {
    return this.#open.size >= this.#most;
  }

  get count(): number {
    return this.#open.size;
  }

  /** Sends what a job has behind the fact `seq`, and then whatever is added, until it is closed or whoever looks leaves. */
  add(open: OpenJob, head: unknown, seq: number, to: ServerResponse): void {
    const job = open.header.job;
    const stream: Stream = {
      ...{ job, to, seq, stamp: undefined, isBusy: false, isChanged: false },
      leave: this.#desk.watch(job, () => void this.#send(stream)),
    };
    this.#open.add(stream);
    to.on('close', () => this.#drop(stream));
    // Whoever has gone is noticed by `close`.
    to.on('error', () => this.#drop(stream));
    to.write(`retry: ${RETRY}\n${eventOf('job', head)}`);
    this.#keepTime();
    void this.#send(stream);
  }

  /** Ends every stream: a browser comes back by itself, and says what it has seen. */
  end(): void {
    for (const stream of [...this.#open]) {
      stream.to.end();
      this.#drop(stream);
    }
  }

  #drop(stream: Stream): void {
    stream.leave();
    this.#open.delete(stream);
    if (this.#open.size > 0) return;
    clearInterval(this.#looking);
    clearInterval(this.#breathing);
    this.#looking = undefined;
    this.#breathing = undefined;
  }

  #keepTime(): void {
    this.#looking ??= setInterval(() => {
      for (const stream of this.#open)
        if (this.#store.stamp(stream.job) !== stream.stamp) void this.#send(stream);
    }, LOOK);
    this.#breathing ??= setInterval(() => {
      for (const { to } of this.#open) to.write(': \n\n');
    }, BREATH);
  }

  async #send(stream: Stream): Promise<void> {
    stream.isChanged = true;
    if (stream.isBusy) return;
    stream.isBusy = true;
    try {
      while (stream.isChanged && this.#open.has(stream)) {
        stream.isChanged = false;
        const open = await this.#desk.open(stream.job);
        if (isProblem(open) && open.code === 'store-gone') {
          // It may come back, and then the stream goes on.
          stream.stamp = undefined;
          continue;
        }
        if (isProblem(open)) {
          stream.to.end(eventOf('problem', open));
          return this.#drop(stream);
        }
        stream.stamp = open.stamp;
        await this.#write(stream, open);
      }
    } finally {
      stream.isBusy = false;
    }
  }

  async #write(stream: Stream, { job: { facts, control } }: OpenJob): Promise<void> {
    while (stream.seq < facts.length && this.#open.has(stream)) {
      const next = facts.slice(stream.seq, stream.seq + AT_ONCE);
      stream.seq += next.length;
      const isTaken = stream.to.write(next.map((one) => eventOf('fact', one, one.seq)).join(''));
      if (!isTaken) await drained(stream.to);
    }
    if (control.closed === undefined || !this.#open.has(stream)) return;
    stream.to.end(eventOf('closed', { seq: facts.length }));
    this.#drop(stream);
  }
}

/** JSON has no line ends outside its escapes, so an event is one line of data. */
const eventOf = (event: string, data: unknown, id?: number): string =>
  `${id === undefined ? '' : `id: ${id}\n`}event: ${event}\ndata: ${JSON.stringify(data)}\n\n`;

const drained = (to: ServerResponse): Promise<void> =>
  new Promise((resolve) => {
    const go = (): void => {
      to.off('drain', go);
      to.off('close', go);
      resolve();
    };
    to.on('drain', go);
    to.on('close', go);
  });
