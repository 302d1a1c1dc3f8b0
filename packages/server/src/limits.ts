/** What one request may take, and how long. */
export const limits = {
  /** Bytes of a JSON body. */
  body: 256 * 1024,
  /** Bytes of a picture. */
  photograph: 20_000_000,
  /** Bytes of a record that is taken in. */
  record: 64 * 1024 * 1024,
  /** Bytes of all headers together. */
  headers: 16 * 1024,
  /** Connections at the same time. */
  connections: 500,
  /** Streams at the same time. */
  streams: 100,
  /** Rejudgings that are kept with their reports. */
  rejudgings: 20,
  /** Pieces of long work under way and waiting: packs checked and tried, and as many that compare packs or count readings. */
  longWork: 8,
  /** Requests of one address in a minute. */
  requests: 12_000,
  /** Wrong tokens of one address in a minute. */
  wrongTokens: 20,
  /** Milliseconds until all headers have to be there. */
  headersTime: 10_000,
  /** Milliseconds until the whole request has to be there. */
  requestTime: 60_000,
  /** Milliseconds that a connection without a request is kept. */
  idleTime: 60_000,
  /** Milliseconds that work on a pack may take: to check it, to run its trials, to compare it. */
  longWorkTime: 600_000,
  /**
   * Megabytes that each thread of long work may take: more than the largest pack needs that a proof is let go through, and much
   * more than jobs that are read one by one.
   */
  longWorkMemory: 1024,
} as const;

export type Limits = { readonly [Name in keyof typeof limits]: number };
