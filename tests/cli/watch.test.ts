import { type ChildProcess, spawn } from 'node:child_process';
import { appendFileSync, cpSync, readFileSync, renameSync, rmSync, unlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { copyOfPack, scratch } from './scratch.ts';

interface Checked {
  readonly folder: string;
  readonly milliseconds: number;
  readonly diagnostics: readonly { readonly code: string }[];
  readonly proofs: readonly unknown[];
  readonly new?: readonly { readonly code: string }[];
  readonly gone?: readonly { readonly code: string }[];
}

const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

/** A watching command, whose checks are waited for one by one. */
function watching(...folders: readonly string[]) {
  const words = [
    join(root, 'packages/cli/bin/ferrule.js'),
    'check',
    ...folders,
    '--watch',
    '--format',
    'json',
  ];
  const child = spawn(process.execPath, words, { cwd: root });
  children.push(child);
  const lines: string[] = [];
  let rest = '';
  let stir = (): void => undefined;
  child.stdout.setEncoding('utf8').on('data', (piece: string) => {
    const parts = (rest + piece).split('\n');
    rest = parts.pop() ?? '';
    lines.push(...parts);
    stir();
  });
  const ended = new Promise<number | null>((done) => child.on('close', done));
  const next = async (): Promise<Checked> => {
    while (lines.length === 0) {
      await new Promise<void>((done) => {
        stir = done;
      });
    }
    return JSON.parse(lines.shift() ?? '');
  };
  /** The first check that is as wanted; editors may be caught between two writes. */
  const until = async (isWanted: (checked: Checked) => boolean): Promise<Checked> => {
    for (;;) {
      const checked = await next();
      if (isWanted(checked)) return checked;
    }
  };
  return { child, next, until, ended };
}

const codes = (of: readonly { readonly code: string }[] | undefined): readonly string[] =>
  (of ?? []).map((one) => one.code);
const has = (code: string) => (checked: Checked) => codes(checked.diagnostics).includes(code);
const isClean = (checked: Checked): boolean => checked.diagnostics.length === 0 && checked.proofs.length > 0;

/** A first pack of its own. */
function firstPack(): string {
  const folder = join(scratch(), 'pack');
  expect(ferrule(['new', folder]).exitCode).toBe(0);
  return folder;
}

describe('check --watch', () => {
  it('tells what is new and what is gone, however an editor writes', async () => {
    const pack = firstPack();
    const file = join(pack, 'procedures/set-gap.yaml');
    const good = readFileSync(file, 'utf8');
    const bad = good.replace('judge: gap-limits', 'judge: gap-limit');
    const { next, until, child, ended } = watching(pack);
    const first = await next();
    expect(first).toMatchObject({ diagnostics: [], folder: pack });
    expect([first.new, first.gone]).toEqual([undefined, undefined]);

    writeFileSync(file, bad);
    const faulty = await until(has('unknown-name'));
    expect(codes(faulty.new)).toContain('unknown-name');
    expect(faulty.gone).toEqual([]);

    // Written beside and moved over the old one.
    writeFileSync(`${file}.new`, good);
    renameSync(`${file}.new`, file);
    const mended = await until(isClean);
    expect(codes(mended.gone)).toContain('unknown-name');
    expect(mended.new).toEqual([]);

    // The old one is moved away first, and the new one written in pieces.
    renameSync(file, `${file}~`);
    writeFileSync(file, bad.slice(0, 500));
    appendFileSync(file, bad.slice(500));
    await until(has('unknown-name'));

    // Nothing that can be read, and then all as it was.
    writeFileSync(file, 'steps: [');
    await until(has('yaml-syntax'));
    writeFileSync(file, good);
    await until(isClean);

    child.kill('SIGINT');
    expect(await ended).toBe(130);
  });

  it('sees files come and go, and the whole folder', async () => {
    const pack = firstPack();
    const { next, until, child, ended } = watching(pack);
    await next();
    writeFileSync(join(pack, 'more.yaml'), 'equipment: { lamp: { title: Lamp } }\n');
    expect(codes((await until(has('unused-name'))).new)).toEqual(['unused-name']);
    unlinkSync(join(pack, 'more.yaml'));
    expect(codes((await until(isClean)).gone)).toEqual(['unused-name']);

    cpSync(pack, `${pack}-kept`, { recursive: true });
    rmSync(pack, { recursive: true });
    await until(has('missing-folder'));
    cpSync(`${pack}-kept`, pack, { recursive: true });
    await until(isClean);
    // The folder that came back is watched as the first one was.
    rmSync(join(pack, 'trials'), { recursive: true });
    writeFileSync(join(pack, 'procedures/x.yaml'), 'procedure: x\n');
    await until(has('missing-key'));
    expect(child.exitCode).toBe(null);
    child.kill('SIGINT');
    expect(await ended).toBe(130);
  });

  it('checks of several packs the one that changed, and proves only what changed again', async () => {
    const large = copyOfPack('marram-unit-pumps/1.0.0');
    const small = firstPack();
    const { next, until } = watching(large, small);
    const before = await next();
    expect((await next()).folder).toBe(small);
    writeFileSync(join(large, 'more.yaml'), 'equipment: { lamp: { title: Lamp } }\n');
    const after = await until(has('unused-name'));
    expect(after.folder).toBe(large);
    expect(after.proofs).toEqual(before.proofs);
    expect(after.milliseconds).toBeLessThan(before.milliseconds);
    appendFileSync(join(small, 'pack.yaml'), 'x-note: Nothing.\n');
    expect((await next()).folder).toBe(small);
  });

  it('writes, as text, what a person reads', async () => {
    const pack = firstPack();
    const child = spawn(
      process.execPath,
      [join(root, 'packages/cli/bin/ferrule.js'), 'check', pack, '--watch'],
      { cwd: root },
    );
    children.push(child);
    let screen = '';
    const shows = (text: RegExp): Promise<void> =>
      new Promise((done) => {
        child.stdout.setEncoding('utf8').on('data', (piece: string) => {
          screen += piece;
          if (text.test(screen)) done();
        });
      });
    await shows(/^\d\d:\d\d:\d\d checked in \d+ ms$/m);
    const file = join(pack, 'pack.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('signal: caution', 'signal: cautoin'));
    await shows(/; since the last check 1 new, 0 gone\n {2}new {2}\S+pack\.yaml:\d+:\d+ error wrong-value /);
    expect(screen).not.toContain('\u001b');
  });

  it.each([
    [['check', 'specs/valve-clearance/1.0.0', '--watch', '--format', 'sarif'], /--watch writes text or json/],
    [['check', 'nowhere', '--watch'], /^ferrule: nowhere: /],
  ])('%j is a wrong call', (words, reason) => {
    const { exitCode, stderr } = ferrule(words);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(reason);
  });
});
