import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { copyFileSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { root } from '../server/served.ts';
import { scratch } from './scratch.ts';

const dist = join(root, 'packages/cli/dist');
const files = ['ferrule.js', 'command.cjs', 'command.compiled'];

/** A copy of the built command, whose files a test may spoil. */
function copy(): string {
  const folder = scratch();
  for (const one of files) copyFileSync(join(dist, one), join(folder, one));
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
  return folder;
}

const node = (words: readonly string[]) => {
  const { stdout, stderr, status } = spawnSync(process.execPath, words, { encoding: 'utf8', cwd: root });
  return { stdout, stderr, status };
};

/** What is to be said of the command in a folder once it is opened, as an expression over `command`. */
function ofOpened(folder: string, expression: string): string {
  const opener = pathToFileURL(join(root, 'packages/cli/command-script.js')).href;
  const at = pathToFileURL(`${folder}/`).href;
  const program = `import { openCommand } from '${opener}'; const command = openCommand(new URL('${at}')); process.stdout.write(String(${expression}));`;
  const { stdout, stderr } = node(['--input-type=module', '-e', program]);
  expect(stderr).toBe('');
  return stdout;
}

/** Whether Node takes up what was compiled ahead for the command in a folder. */
const isTakenUp = (folder: string): boolean => ofOpened(folder, 'command.isTakenUp') === 'true';

const call = ['check', 'specs/valve-clearance/1.0.0'];

test('what the build has compiled ahead is taken up', () => {
  expect(isTakenUp(dist)).toBe(true);
});

test('the text is read as it was written, with every sign of it', () => {
  const text = readFileSync(join(dist, 'command.cjs'), 'utf8');
  // There are such signs, also inside of regular expressions, which no bundler writes as escapes.
  expect(text).toMatch(/\/[^/\n]*…[^/\n]*\//);
  const [, digest, rest = ''] = /^\/\*([0-9a-f]{64})\*\/([\s\S]*)$/.exec(text) ?? [];
  const sha256 = (content: string): string => createHash('sha256').update(content).digest('hex');
  expect(sha256(rest)).toBe(digest);
  const seen =
    "process.getBuiltinModule('node:crypto').createHash('sha256').update(command.text).digest('hex')";
  expect(ofOpened(dist, seen)).toBe(sha256(text));
});

test('without it, or with one that does not fit, the command does the same', () => {
  const expected = node([join(dist, 'ferrule.js'), ...call]);
  expect(expected).toMatchObject({ status: 0, stderr: '' });
  const whole = readFileSync(join(dist, 'command.compiled'));
  const spoilt: readonly (readonly [string, Buffer | undefined])[] = [
    ['missing', undefined],
    ['empty', Buffer.alloc(0)],
    ['cut off', whole.subarray(0, whole.length / 2)],
    ['of another text', Buffer.concat([Buffer.from('0'.repeat(64)), whole.subarray(64)])],
    ['none', Buffer.concat([whole.subarray(0, 64), Buffer.from('no machine knows this')])],
    ['of another V8', Buffer.concat([whole.subarray(0, 64), Buffer.alloc(40, 7), whole.subarray(104)])],
  ];
  for (const [what, content] of spoilt) {
    const folder = copy();
    const file = join(folder, 'command.compiled');
    if (content === undefined) rmSync(file);
    else writeFileSync(file, content);
    expect(isTakenUp(folder), what).toBe(false);
    expect(node([join(folder, 'ferrule.js'), ...call]), what).toEqual(expected);
    // Nothing is written by a call.
    expect(existsSync(file), what).toBe(content !== undefined);
  }
});

test('a text that was changed is run as it is now, and not as it was compiled', () => {
  const folder = copy();
  const file = join(folder, 'command.cjs');
  const text = readFileSync(file, 'utf8');
  // Another build: the same length, another digest.
  const sentence = 'Exit code: 0 all is well';
  expect(text).toContain(sentence);
  const changed = text.replace(sentence, 'Exit code: 0 all is fine');
  writeFileSync(file, `/*${'f'.repeat(64)}*/${changed.slice(68)}`);
  expect(isTakenUp(folder)).toBe(false);
  expect(node([join(folder, 'ferrule.js'), '--help']).stdout).toContain('Exit code: 0 all is fine');
});
