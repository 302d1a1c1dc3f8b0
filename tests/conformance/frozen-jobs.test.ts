import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { resolve } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { cardCsv, cardHtml, jobCard } from '@ferrule/print';
import { readJob } from '@ferrule/records';
import { digestOf } from '@ferrule/signing';
import { readBundle } from '@ferrule/source';
import { describe, expect, it } from 'vitest';

// Records of jobs as they were kept once, each with the bundle that it is pinned to and the card that was made then. They are
// never changed: what was stored has to be read for good. A new format adds a folder; a new member of a card may be missing in these.
const folder = join(import.meta.dirname, 'jobs');
const names = readdirSync(folder, { withFileTypes: true }).flatMap((one) =>
  one.isDirectory() ? [one.name] : [],
);

/** Digests of the frozen files, so that nobody mends one. */
const frozen: Readonly<Record<string, string>> = JSON.parse(
  existsSync(join(folder, 'digests.json')) ? readFileSync(join(folder, 'digests.json'), 'utf8') : '{}',
);

function made(name: string) {
  const record = readJob(join(folder, name, 'record.jsonl'));
  if (record.fault !== undefined) throw new Error(record.fault.message);
  const { header, facts, last } = record;
  const bundle = readFileSync(join(folder, name, 'bundle.json'), 'utf8');
  const { document } = readBundle(bundle);
  const { pack } = validate(document);
  if (pack === undefined) throw new Error('the bundle is no pack');
  const { plan } = resolve(pack, { procedure: header.procedure, variant: header.variant });
  if (plan === undefined) throw new Error('the bundle makes no plan');
  const card = jobCard(plan, facts, { pack, job: header.job, last });
  return { header, facts, bundle, plan, card };
}

describe('jobs that were kept once', () => {
  it('are there, each file as it was frozen', () => {
    expect(names.length).toBeGreaterThanOrEqual(3);
    const files = names.flatMap((name) =>
      ['record.jsonl', 'bundle.json', 'card.json'].map((file) => `${name}/${file}`),
    );
    const found = Object.fromEntries(files.map((file) => [file, digestOf(readFileSync(join(folder, file)))]));
    expect(found).toEqual(frozen);
  });

  it.each(names)('%s is read, made again and told as it was', (name) => {
    const { header, facts, bundle, plan, card } = made(name);
    expect(digestOf(bundle)).toBe(header.pack.digest);
    const again = replay(plan, facts);
    expect(again.fault).toBeUndefined();
    expect(again.job?.control.closed).toBe('finished');
    const kept: unknown = JSON.parse(readFileSync(join(folder, name, 'card.json'), 'utf8'));
    expect(JSON.parse(JSON.stringify(card))).toMatchObject(Object(kept));
    expect(cardHtml(card)).toContain(header.pack.digest);
    expect(cardCsv(card).split('\r\n').length).toBeGreaterThan(card.readings.length);
  });
});
