import { createHash } from 'node:crypto';
import { appendFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact, FactBody, InstrumentUsed } from '@ferrule/engine';
import { folderStore, instrumentsIn, jobPath, jobsUsing, usesOf } from '@ferrule/records';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

let store = '';
beforeEach(() => {
  store = mkdtempSync(join(tmpdir(), 'ferrule-using-'));
});
afterEach(() => rmSync(store, { recursive: true, force: true }));

const wrench: InstrumentUsed = { kind: 'wrench', identity: 'TW-1', due: '2026-06-30' };
const gauge: InstrumentUsed = { kind: 'gauge', identity: 'GG-1', maximumPermissibleError: '0.002 mm' };

const fact = (seq: number, body: FactBody): Fact => ({
  format: '1',
  seq,
  id: `x.${seq}`,
  at: '2026-03-02T08:00:00+01:00',
  by: 'technician A',
  fact: body,
});
const facts = (...bodies: readonly FactBody[]): readonly Fact[] =>
  bodies.map((one, index) => fact(index + 1, one));

const started = (...instruments: readonly InstrumentUsed[]): FactBody => ({
  kind: 'started',
  pack: 'pumps',
  revision: '1.0.0',
  bundle: 'sha256:0',
  procedure: 'set',
  variant: 'four',
  persons: [],
  instruments,
});
const reading = (entry: string, digits: string, instrument: InstrumentUsed, step = entry): FactBody => ({
  kind: 'reading',
  step,
  entry,
  typed: digits,
  digits,
  unit: 'mm',
  instrument,
});
const judged = (of: string, verdict: 'conforming' | 'nonconforming', step: string): FactBody => ({
  kind: 'judged',
  step,
  of,
  verdict: { verdict },
});

describe('what an instrument took part in', () => {
  it('is each reading with the verdict at its step, and each joint that it tightened', () => {
    const uses = usesOf(
      facts(
        started(wrench, gauge),
        reading('gap', '0.31', gauge),
        judged('gap-limits', 'nonconforming', 'gap'),
        { kind: 'done', step: 'cover', instrument: wrench },
        reading('gap', '0.28', gauge),
        judged('gap-limits', 'conforming', 'gap'),
        reading('other', '0.10', { ...gauge, identity: 'GG-2' }),
        judged('other-limits', 'conforming', 'other'),
      ),
      'GG-1',
    );
    expect(uses.map(({ seq, what, value, verdicts }) => ({ seq, what, value, verdicts }))).toEqual([
      { seq: 1, what: 'named', value: undefined, verdicts: undefined },
      {
        seq: 2,
        what: 'reading',
        value: '0.31 mm',
        verdicts: [{ of: 'gap-limits', verdict: 'nonconforming', seq: 3 }],
      },
      {
        seq: 5,
        what: 'reading',
        value: '0.28 mm',
        verdicts: [{ of: 'gap-limits', verdict: 'conforming', seq: 6 }],
      },
    ]);
    expect(uses[1]?.instrument).toEqual(gauge);
  });

  it('marks what was struck, and gives no verdict of the reading after it', () => {
    const [, use] = usesOf(
      facts(
        started(gauge),
        reading('gap', '0.31', gauge),
        { kind: 'struck', target: 2, entry: 'gap', step: 'gap', reason: 'Wrong place.' },
        reading('gap', '0.28', { ...gauge, identity: 'GG-2' }),
        judged('gap-limits', 'conforming', 'gap'),
      ),
      'GG-1',
    );
    expect(use).toMatchObject({ seq: 2, struckBy: 3 });
    expect(use).not.toHaveProperty('verdicts');
  });

  it('gives every repeat the one verdict that follows them, and the sign of a reading beyond the scale', () => {
    const repeat = (one: number): FactBody =>
      ({ ...reading('gap', '0.3', gauge), kind: 'reading', repeat: one, beyond: 'above' }) as FactBody;
    const uses = usesOf(
      facts(started(), repeat(1), repeat(2), judged('gap-limits', 'nonconforming', 'gap')),
      'GG-1',
    );
    expect(uses.map((one) => [one.value, one.verdicts?.[0]?.seq])).toEqual([
      ['> 0.3 mm', 4],
      ['> 0.3 mm', 4],
    ]);
  });

  it('is a concession and an instrument that came into use later', () => {
    const uses = usesOf(
      facts(
        started(),
        { kind: 'equipped', instrument: wrench },
        { kind: 'allowed', instrument: 'TW-1', because: 'instrument-overdue', reason: 'Compared today.' },
      ),
      'TW-1',
    );
    expect(uses.map((one) => one.what)).toEqual(['named', 'allowed']);
  });
});

describe('the jobs of a store', () => {
  const keep = (job: string, ...bodies: readonly FactBody[]): void => {
    const bundle = '{}';
    const made = folderStore(store).create(
      {
        job,
        pack: {
          id: 'pumps',
          revision: '1.0.0',
          path: '.',
          digest: `sha256:${createHash('sha256').update(bundle).digest('hex')}`,
        },
        procedure: 'set',
        variant: 'four',
      },
      bundle,
      facts(...bodies),
    );
    expect(made).toEqual({ created: bodies.length });
  };

  it('come one after the other, with the files that cannot be relied on', () => {
    keep('a', started(wrench), { kind: 'closed', finished: true });
    keep('b', started(gauge));
    keep('c', started(wrench));
    appendFileSync(jobPath(store, 'c'), 'nothing\n');
    const found = [...jobsUsing(store, 'TW-1')];
    expect(found.map((one) => [one.job, one.fault === undefined ? one.isClosed : one.fault.line])).toEqual([
      ['a', true],
      ['c', 3],
    ]);
    expect([...instrumentsIn(store)]).toEqual(['TW-1', 'GG-1']);
  });

  it('are none in a folder that is not there', () => {
    expect([...jobsUsing(join(store, 'gone'), 'TW-1')]).toEqual([]);
  });
});
