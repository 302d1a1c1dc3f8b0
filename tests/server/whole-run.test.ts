import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { ferrule } from '../cli/ferrule.ts';
import { hasPython, pythonClient } from './python-client.ts';
import { get, type Served, served } from './served.ts';

test.skipIf(!hasPython)(
  'a job begun in the terminal goes on in Python, through a kill of the server, to a card that reads alike after a restart',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'ferrule-whole-'));
    const started: Served[] = [];
    const serve = async (...words: readonly string[]): Promise<Served> => {
      const one = await served(jobs, ...words);
      started.push(one);
      return one;
    };
    const jobs = join(folder, 'jobs');
    try {
      const factsOf = (job: string): readonly Fact[] => folderStore(jobs).read(job).facts ?? [];

      // Begun in the terminal: who takes part and with what, the hazards of the work, and then the terminal is left.
      const pack = 'specs/valve-clearance/1.0.0';
      const call = ['run', pack, '--procedure', 'set-clearances', '--variant', 'marram-four', '--jobs', jobs];
      const lines = ['technician A', 'lead C', 'FG-1', 'TW-2 2099-12-31', 'understood', 'quit'];
      const begun = ferrule(call, { lines });
      const [job = ''] = folderStore(jobs)
        .list()
        .jobs.map((one) => one.job);
      expect(job, begun.stdout + begun.stderr).not.toBe('');
      const byHand = factsOf(job);
      expect(byHand.length).toBeGreaterThanOrEqual(2);

      // Gone on with over HTTP, and the server is killed when some readings have been taken.
      const first = await serve();
      const client = pythonClient(first.url, job);
      await expect
        .poll(() => factsOf(job).filter(({ fact }) => fact.kind === 'reading').length, {
          timeout: 60_000,
          interval: 2,
        })
        .toBeGreaterThanOrEqual(2);
      first.child.kill('SIGKILL');
      expect((await first.ended).how).toBe('SIGKILL');
      const atKill = factsOf(job);
      expect(atKill.at(-1)?.fact.kind).not.toBe('closed');
      await expect.poll(client.said, { timeout: 60_000 }).toContain('The same is sent again');

      // The same client finishes it at the server that takes its place.
      const second = await serve('--port', new URL(first.url).port);
      const { how, said } = await client.ended;
      expect(how, said).toBe(0);
      expect(said).toContain('Ferrule never says that a job is safe.');
      expect(said).toMatch(/Demonstration data\./);
      const facts = factsOf(job);
      const last = /: closed, \d+ facts, last (sha256:[0-9a-f]{64})\n$/.exec(said)?.[1];
      expect(said).toContain(`${job}: closed, ${facts.length} facts, last ${last}`);
      // What was confirmed before stands unchanged before the rest, and nothing was recorded twice.
      expect(facts.slice(0, byHand.length)).toEqual(byHand);
      expect(facts.slice(0, atKill.length)).toEqual(atKill);
      expect(facts.map(({ seq }) => seq)).toEqual(facts.map((_, index) => index + 1));
      const recorded = facts.flatMap(({ fact }) => (fact.kind === 'reading' ? [fact.entry] : []));
      expect(new Set(recorded).size).toBe(recorded.length);
      expect(recorded).toHaveLength(8);
      expect(facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });

      // Verified, by the command and against the digest that the client has printed.
      const verified = ferrule(['verify', `${jobs}/${job}`, '--expect', String(last)]);
      expect(verified.exitCode, verified.stdout + verified.stderr).toBe(0);
      expect(await get(`${second.url}/jobs/${job}/verification`)).toMatchObject({
        status: 200,
        json: { findings: [] },
      });

      // Printed.
      const page = join(folder, 'card.html');
      const printed = ferrule(['jobs', 'card', jobs, job, '--out', page]);
      expect(printed.exitCode, printed.stderr).toBe(0);
      expect(existsSync(page)).toBe(true);
      const card = readFileSync(page, 'utf8');
      for (const words of [job, String(last), 'All 8 verdicts that count say conforming.', '0.45 mm'])
        expect(card).toContain(words);
      const before = await get(`${second.url}/jobs/${job}/card`);
      expect(before).toMatchObject({ status: 200, json: { job: { state: 'finished', lastDigest: last } } });

      // Read again after a restart: facts and card are the same.
      second.child.kill('SIGTERM');
      expect((await second.ended).how).toBe(0);
      const third = await serve();
      expect(await get(`${third.url}/jobs/${job}/card`)).toEqual(before);
      expect((await get(`${third.url}/jobs/${job}/facts`)).json['facts']).toEqual(facts);
      expect(
        await (await fetch(`${third.url}/jobs/${job}/card`, { headers: { accept: 'text/html' } })).text(),
      ).toBe(card);
      third.child.kill('SIGTERM');
      await third.ended;
    } finally {
      for (const { child } of started) child.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    }
  },
);
