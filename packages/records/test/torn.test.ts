import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { type Appended, folderStore, jobPath, readJob } from '@ferrule/records';
import { expect, it } from 'vitest';
import { bundle, fact, header, note, scratch } from './a-job.ts';

const last = [note(3, 'zwölf µm, "so" \\ {[]} 測定'), fact(4, { kind: 'parked', reason: 'Night.' })];

it('a file that is cut off at any byte gives the batches that were whole, and goes on from there', () => {
  const folder = scratch();
  const store = folderStore(folder);
  const path = jobPath(folder, header.job);
  const sizes: number[] = [];
  expect(store.create(header, bundle, [note(1)])).toEqual({ created: 1 });
  for (const batch of [[note(2)], last]) {
    sizes.push(statSync(path).size);
    store.append(header.job, batch, (batch[0]?.seq ?? 0) - 1);
  }
  const whole = readFileSync(path);
  const [one = 0, two = 0] = sizes;
  const headerEnd = whole.indexOf(0x0a) + 1;
  for (let cut = 1; cut <= whole.length; cut++) {
    writeFileSync(path, whole.subarray(0, cut));
    const read = readJob(path);
    if (cut < headerEnd) {
      expect(read).toMatchObject({ fault: { line: 1 } });
      continue;
    }
    const wanted =
      cut < one
        ? []
        : cut < two
          ? [note(1)]
          : cut < whole.length
            ? [note(1), note(2)]
            : [note(1), note(2), ...last];
    expect(read.facts).toEqual(wanted);
    const isTorn = ![headerEnd, one, two, whole.length].includes(cut);
    expect(read.torn !== undefined).toBe(isTorn);
    // Each of these waits for the disk: the last batch is gone on with at every byte, those before at a few.
    if (cut < two && cut % 40 !== 0 && isTorn) continue;
    const seq = wanted.length;
    // Another process, which has read nothing yet.
    const done: Appended = folderStore(folder).append(header.job, [note(seq + 1, 'after')], seq);
    expect(done).toMatchObject({ appended: seq + 1 });
    expect('setAside' in done).toBe(isTorn);
    expect(readJob(path).facts).toEqual([...wanted, note(seq + 1, 'after')]);
  }
  expect(existsSync(`${path}.torn`)).toBe(true);
});

it('what is cut off while a process has the end in mind is noticed by it too', () => {
  const folder = scratch();
  const store = folderStore(folder);
  store.create(header, bundle, [note(1)]);
  store.append(header.job, [note(2)], 1);
  const path = jobPath(folder, header.job);
  const whole = readFileSync(path);
  writeFileSync(path, whole.subarray(0, whole.length - 5));
  expect(store.append(header.job, [note(3)], 2)).toMatchObject({ refused: 'stale-sequence' });
  expect(store.append(header.job, [note(2, 'again')], 1)).toMatchObject({ appended: 2 });
  expect(readJob(path).facts).toEqual([note(1), note(2, 'again')]);
});
