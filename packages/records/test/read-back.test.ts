import type { Fact } from '@ferrule/engine';
import { askedDigest, folderStore, jobPath, readJob } from '@ferrule/records';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { bundle, header, scratch } from './a-job.ts';

const text = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 30 }),
  fc.string({ unit: 'binary', maxLength: 30 }).filter((one) => !/\p{Surrogate}/u.test(one)),
  fc.constantFrom(
    '',
    '"},{"',
    '\\',
    '\\"',
    '],"last":"',
    '\n',
    '\r\n',
    '\u2028',
    '\ufeff',
    '{"facts":[',
    'é😀',
  ),
);

/** A batch: the texts of its facts, who gave them, and whether it is kept what was asked for. */
const batch = fc.record({
  texts: fc.array(text, { minLength: 1, maxLength: 4 }),
  by: text,
  isAsked: fc.boolean(),
});

it('any sequence of batches is read back as it was added, with what was asked for', () => {
  let number = 0;
  fc.assert(
    fc.property(fc.array(batch, { minLength: 1, maxLength: 12 }), (batches) => {
      const folder = scratch();
      const job = `job-${number++}`;
      const facts: Fact[] = [];
      const asked = new Map<number, string>();
      const store = folderStore(folder);
      for (const { texts, by, isAsked } of batches) {
        const seq = facts.length;
        const digest = isAsked ? askedDigest({ by, command: { texts } }) : undefined;
        const added = texts.map(
          (one, place): Fact => ({
            format: '1',
            seq: seq + place + 1,
            id: `${one}.${place}`,
            at: '2026-03-02T08:00:00+01:00',
            by,
            fact: { kind: 'noted', text: one },
          }),
        );
        const done =
          seq === 0
            ? store.create({ ...header, job }, bundle, added, digest)
            : store.append(job, added, seq, digest);
        expect(done.refused).toBeUndefined();
        facts.push(...added);
        if (digest !== undefined) asked.set(seq + 1, digest);
      }
      const read = readJob(jobPath(folder, job));
      expect(read.fault).toBeUndefined();
      expect(read).toEqual(folderStore(folder).read(job));
      expect(read).toMatchObject({ facts, asked });
    }),
    { numRuns: 60 },
  );
});
