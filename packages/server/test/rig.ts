import { mkdtempSync, rmSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { folderStore, type JobStore } from '@ferrule/records';
import { Ajv2020 } from 'ajv/dist/2020.js';
import type { FastifyInstance, InjectOptions } from 'fastify';
import { afterEach, expect } from 'vitest';
import { createServer, type ServerOptions } from '../src/index.ts';
import { beginning } from './beginning.ts';

/** The packs of the checkout. */
export const specs = fileURLToPath(new URL('../../../specs', import.meta.url));

const ends: (() => void | Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-server-'));
  ends.push(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

type Json = Readonly<Record<string, unknown>>;

export interface Reply {
  readonly status: number;
  readonly headers: Readonly<Record<string, unknown>>;
  /** The body, parsed where it is JSON. */
  readonly json: Json;
  readonly text: string;
}

/** A server over a store of its own, each of whose answers is held against its own OpenAPI document. */
export class Rig {
  readonly app: FastifyInstance;
  readonly folder: string;
  readonly store: JobStore;
  readonly defects: unknown[] = [];
  /** What was said to whoever runs the server. */
  readonly notes: string[] = [];
  /** The time of the server, which a test moves. */
  clock = new Date('2026-03-02T07:00:00Z');
  #checks: Checks | undefined;

  constructor(options: Partial<ServerOptions> = {}, folder = scratch()) {
    this.folder = folder;
    this.store = options.store ?? folderStore(folder);
    this.app = createServer({
      ...{ store: this.store, storeFolder: folder, packs: [specs] },
      now: () => this.clock,
      onDefect: (error) => this.defects.push(error),
      onNote: (line) => this.notes.push(line),
      ...options,
    });
    ends.push(() => this.app.close());
  }

  async get(url: string, more: Partial<InjectOptions> = {}): Promise<Reply> {
    return this.call({ method: 'GET', url, ...more });
  }

  async post(url: string, body: unknown, more: Partial<InjectOptions> = {}): Promise<Reply> {
    return this.call({ method: 'POST', url, payload: Object(body), ...more });
  }

  async call(request: InjectOptions): Promise<Reply> {
    const { headers = {}, ...rest } = request;
    const answer = await this.app.inject({
      ...rest,
      headers: { host: this.#host(), ...headers },
    });
    const type = String(answer.headers['content-type'] ?? '').split(';')[0] ?? '';
    this.#checks ??= new Checks(await this.document());
    if (request.method !== 'HEAD')
      this.#checks.hold(String(request.method), String(request.url), answer.statusCode, type, answer.body);
    const json: Json = type.endsWith('json') ? JSON.parse(answer.body) : {};
    return { status: answer.statusCode, headers: answer.headers, json, text: answer.body };
  }

  /** Listens at a port of its own, which then is one of its names. */
  async listen(): Promise<string> {
    const bound = this.app.server.address();
    if (typeof bound === 'object' && bound !== null) return `http://127.0.0.1:${bound.port}`;
    return this.app.listen({ host: '127.0.0.1', port: 0 });
  }

  #host(): string {
    const bound = this.app.server.address();
    return `127.0.0.1:${typeof bound === 'object' && bound !== null ? bound.port : 8321}`;
  }

  async document(): Promise<Json> {
    await this.app.ready();
    return JSON.parse(JSON.stringify(this.app.swagger()));
  }

  /** Begins a valve clearance job and answers its name. */
  async begin(id = 'begin-0001', more: Json = {}): Promise<string> {
    const { status, json } = await this.post('/jobs', { ...beginning, id, ...more });
    expect(status, JSON.stringify(json)).toBe(201);
    return String(json['job']);
  }

  give(job: string, id: string, expectedSeq: number, command: Json, by = 'technician A'): Promise<Reply> {
    return this.post(`/jobs/${job}/commands`, { id, expectedSeq, by, command });
  }
}

const isMap = (value: unknown): value is Json => typeof value === 'object' && value !== null;
const at = (value: unknown, ...path: readonly string[]): unknown =>
  path.reduce<unknown>((inside, key) => (isMap(inside) ? inside[key] : undefined), value);

/** Holds answers against an OpenAPI document by a validator that knows nothing of the server. */
class Checks {
  readonly #document: Json;
  readonly #ajv = new Ajv2020({ strict: false, allErrors: true });

  constructor(document: Json) {
    this.#document = document;
    this.#ajv.addSchema(document, 'openapi');
  }

  hold(method: string, url: string, status: number, type: string, body: string): void {
    const path = url.split('?')[0]?.split('/') ?? [];
    const template = Object.keys(Object(this.#document['paths'])).find((one) => {
      const parts = one.split('/');
      return (
        parts.length === path.length &&
        parts.every((part, place) => part.startsWith('{') || part === path[place])
      );
    });
    if (template === undefined) {
      expect(status, `${url} is in no document`).toBeGreaterThanOrEqual(400);
      return;
    }
    const operation = at(this.#document, 'paths', template, method.toLowerCase());
    if (operation === undefined) {
      expect(status).toBeGreaterThanOrEqual(400);
      return;
    }
    const isSaid = isMap(at(operation, 'responses', String(status)));
    const key = isSaid ? String(status) : 'default';
    expect(isSaid || status >= 400, `${method} ${template} does not say ${status}`).toBe(true);
    if (status === 204) return;
    expect(
      at(operation, 'responses', key, 'content', type),
      `${method} ${template} ${status}: ${type}`,
    ).toBeDefined();
    if (!type.endsWith('json')) return;
    const token = (text: string): string =>
      encodeURIComponent(text.replaceAll('~', '~0').replaceAll('/', '~1'));
    const pointer = ['paths', template, method.toLowerCase(), 'responses', key, 'content', type, 'schema'];
    const check = this.#ajv.compile({ $ref: `openapi#/${pointer.map(token).join('/')}` });
    const isValid = check(JSON.parse(body));
    expect(isValid ? [] : check.errors, `${method} ${url}: ${body.slice(0, 300)}`).toEqual([]);
  }
}

/** Listens at a port of its own, and answers what comes back for these bytes. */
export async function raw(
  rig: Rig,
  bytes: string,
  wait = 3000,
  then?: (socket: Socket) => Promise<void>,
): Promise<string> {
  const { port } = new URL(await rig.listen());
  return new Promise((done, fail) => {
    const socket = connect(Number(port), '127.0.0.1', () => {
      socket.write(bytes.replaceAll('PORT', port));
      void then?.(socket);
    });
    let answer = '';
    const late = setTimeout(() => {
      socket.destroy();
      done(answer);
    }, wait);
    socket.setEncoding('utf8').on('data', (piece: string) => {
      answer += piece;
    });
    socket.on('close', () => {
      clearTimeout(late);
      done(answer);
    });
    socket.on('error', fail);
  });
}
