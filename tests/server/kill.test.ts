import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { post, served } from './served.ts';

/** FERRULE_KILLS=200 for the whole of it. */
const KILLS = Number(process.env['FERRULE_KILLS'] ?? 20);
const JOBS = 3;
/** The longest that the load runs before the kill, in milliseconds. */
const LONGEST = 300;

/** A job under load, with what was confirmed of it and what was sent last without an answer. */
class Load {
  readonly job: string;
  readonly confirmed = new Map<number, string>();
  #seq: number;
  #pending: { readonly id: string; readonly expectedSeq: number } | undefined;
  #sent = 0;
  again = 0;

  constructor(job: string, seq: number) {
    this.job = job;
    this.#seq = seq;
  }

  /** Sends one command after the other until the server is gone. What had no answer goes first, as it was. */
  async run(url: string): Promise<void> {
    for (;;) {
      if (this.#pending !== undefined) this.again += 1;
      this.#pending ??= { id: `note-${this.job.slice(-6)}-${this.#sent++}`, expectedSeq: this.#seq };
      const { id, expectedSeq } = this.#pending;
      const body = {
        id,
        expectedSeq,
        by: 'technician A',
        command: { command: 'note', text: `${id} ${'x'.repeat(2000)}` },
      };
      let answer: Awaited<ReturnType<typeof post>>;
      try {
        answer = await post(`${url}/jobs/${this.job}/commands`, body);
      } catch {
        return;
      }
      expect(answer.status, JSON.stringify(answer.json)).toBe(200);
      expect(answer.json['seq']).toBe(expectedSeq + 1);
      this.confirmed.set(expectedSeq + 1, id);
      this.#seq = expectedSeq + 1;
      this.#pending = undefined;
    }
  }
}

const confirmedOf = (loads: readonly Load[]): number =>
  loads.reduce((sum, { confirmed }) => sum + confirmed.size, 0);

test(`${KILLS} kills under load lose nothing that was confirmed`, { timeout: 3_600_000 }, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-kill-'));
  const store = join(folder, 'jobs');
  const loads: Load[] = [];
  const lost: string[] = [];
  const unreadable: string[] = [];
  try {
    for (let kill = 0; kill < KILLS; kill++) {
      const { url, child, ended } = await served(store);
      while (loads.length < JOBS) {
        const { status, json } = await post(`${url}/jobs`, { ...beginning, id: `begin-000${loads.length}` });
        expect(status, JSON.stringify(json)).toBe(201);
        loads.push(new Load(String(json['job']), 1));
      }
      const before = confirmedOf(loads);
      const running = loads.map((load) => load.run(url));
      // Most kills come while commands are answered; every fifth one at any moment after the start.
      const isAtStart = kill % 5 === 4;
      await expect
        .poll(() => isAtStart || confirmedOf(loads) > before, { timeout: 60_000, interval: 5 })
        .toBe(true);
      await new Promise((later) => setTimeout(later, Math.random() * LONGEST));
      child.kill('SIGKILL');
      await Promise.all(running);
      expect((await ended).how).toBe('SIGKILL');
      const found = folderStore(store);
      for (const { job, confirmed } of loads) {
        const read = found.read(job);
        if (read.fault !== undefined) unreadable.push(`kill ${kill + 1}: ${read.fault.message}`);
        for (const [seq, id] of confirmed)
          if (read.facts?.[seq - 1]?.id !== `${id}.1`) lost.push(`kill ${kill + 1}: fact ${seq} of ${job}`);
      }
      expect({ lost, unreadable }).toEqual({ lost: [], unreadable: [] });
    }
    const total = confirmedOf(loads);
    expect(total).toBeGreaterThan(KILLS / 2);
    const again = loads.reduce((sum, load) => sum + load.again, 0);
    console.log(
      `${KILLS} kills of the server, ${total} facts confirmed, ${lost.length} lost, ${unreadable.length} jobs unreadable, ${again} sent again`,
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
