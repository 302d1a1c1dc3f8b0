import { spawnSync } from 'node:child_process';
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

/** Whether Node takes up what was compiled ahead for the command in a folder. */
function isTakenUp(folder: string): boolean {
  const opener = pathToFileURL(join(root, 'packages/cli/command-script.js')).href;
  const at = pathToFileURL(`${folder}/`).href;
  const program = `import { openCommand } from '${opener}'; process.stdout.write(String(openCommand(new URL('${at}')).isTakenUp));`;
  const { stdout, stderr } = node(['--input-type=module', '-e', program]);
  expect(stderr).toBe('');
  return stdout === 'true';
}

const call = ['check', 'specs/valve-clearance/1.0.0'];

test('what the build has compiled ahead is taken up', () => {
  expect(isTakenUp(dist)).toBe(true);
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
  const text = readFileSync(file, 'latin1');
  // Another build: the same length, another digest.
  const sentence = 'Exit code: 0 all is well';
  expect(text).toContain(sentence);
  const changed = text.replace(sentence, 'Exit code: 0 all is fine');
  writeFileSync(file, `/*${'f'.repeat(64)}*/${changed.slice(68)}`, 'latin1');
  expect(isTakenUp(folder)).toBe(false);
  expect(node([join(folder, 'ferrule.js'), '--help']).stdout).toContain('Exit code: 0 all is fine');
});
