import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { fileTrouble, notMade, notRead, notWritten } from '../src/file-trouble.ts';

const folder = mkdtempSync(join(tmpdir(), 'ferrule-trouble-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const failed = (code: string): Error => Object.assign(new Error(code), { code });

test.each([
  ['ENOENT', 'The folder that it would lie in is not there. Make that folder first'],
  ['ENOTDIR', 'A file stands where its folder would have to be. See that every folder of its name is one'],
  ['EISDIR', 'It is a folder. Name a file in it'],
  ['EACCES', 'You have no right to write there. Ask whoever may give you that right'],
  ['EROFS', 'What lies there can only be read. Have that changed'],
  ['ENOSPC', 'There is no room left for it. Make room'],
  ['EFBIG', 'It is larger than a file may be there. Have that limit raised'],
  ['ENAMETOOLONG', 'Its name is longer than the system takes. Shorten it'],
  ['EODD', 'The system says no more than that. See that the place is there and that you may write it'],
])('what cannot be written for %s is told in plain words, with what to do', (code, says) => {
  const path = join(folder, 'gone', 'x');
  expect(notWritten(path, failed(code))).toBe(
    `${path} cannot be written (${code}). ${says}, or name another place.`,
  );
});

test('a place inside a folder that is there, and takes nothing, is told as such', () => {
  const path = join(folder, 'x');
  expect(notWritten(path, failed('ENOENT'))).toBe(
    `${path} cannot be written (ENOENT). Nothing can be put there. Name another place.`,
  );
  expect(notMade(path, failed('ENOENT'))).toContain('No folder can be made there. Name another place.');
});

test('what cannot be read is told in other words than what cannot be written', () => {
  expect(notRead('x', failed('ENOENT'))).toBe(
    'x cannot be read (ENOENT). Nothing of this name is there. See that it is spelt right, or name another one.',
  );
  expect(notRead('x', failed('EACCES'))).toContain('You have no right to read it.');
  expect(fileTrouble('read', 'no error at all').code).toBe('it failed');
});
