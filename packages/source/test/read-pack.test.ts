import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { chmod, mkdir, mkdtemp, rm, symlink, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { limits, readPack, readPackFromFiles } from '@ferrule/source';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'ferrule-pack-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function write(files: Record<string, string | Uint8Array>) {
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), content);
  }
}
const codes = async (path = folder) => (await readPack(path)).diagnostics.map(({ code }) => code);
const posix = it.skipIf(process.platform === 'win32');

describe('the libraries of a pack', () => {
  const pack = 'pack: demo\nuses:\n  tools: { revision: 1.0.0, digest: any }\nx: gauge\n';
  const library = 'library: tools\nrevision: 1.0.0\nequipment:\n  gauge: { title: Gauge }\n';

  it('stand beside it, each under its name and revision', async () => {
    await write({ 'demo/1.0.0/pack.yaml': pack, 'tools/1.0.0/library.yaml': library });
    const { document, files, diagnostics } = await readPack(join(folder, 'demo/1.0.0'));
    expect(diagnostics.map(({ code }) => code)).toEqual(['library-digest']);
    expect(document['equipment']).toEqual({ gauge: { title: 'Gauge' } });
    expect(files.map(({ path }) => path)).toEqual(['pack.yaml', '../../tools/1.0.0/library.yaml']);
  });

  posix('are not followed through a link', async () => {
    await write({ 'demo/1.0.0/pack.yaml': pack, 'elsewhere/library.yaml': library });
    await mkdir(join(folder, 'tools'));
    await symlink(join(folder, 'elsewhere'), join(folder, 'tools/1.0.0'));
    expect(await codes(join(folder, 'demo/1.0.0'))).toEqual(['missing-library']);
  });
});

describe('readPack', () => {
  const files = {
    'pack.yaml': 'pack: demo\nlimit: 0.20 mm\n',
    'procedures/b.yaml': 'procedure: b\nsteps:\n  -\n',
    'procedures/a.yaml': 'procedure: a\n',
    'trials/t.yml': 'trial: t\n',
    'B.yaml': 'list: [two]\n',
    'a.yaml': 'list: [three]\n',
    'A.yaml': 'list: [one]\n',
  };

  it('leaves trials unread for whoever only looks something up', async () => {
    await write({
      'pack.yaml': 'pack: demo\n',
      'trials/t.yaml': 'trial: t\nbroken',
      'procedures/a.yaml': 'procedure: a\n',
    });
    expect(await codes()).not.toEqual([]);
    const { document, diagnostics } = await readPack(folder, { withoutTrials: true });
    expect(diagnostics).toEqual([]);
    expect(document).toEqual({ pack: 'demo', procedures: { a: {} } });
  });

  it('says which folder was meant when the packs stand further in, and nothing else', async () => {
    await write({
      'pumps/1.0.0/pack.yaml': 'pack: pumps\n',
      'pumps/1.0.0/procedures/a.yaml': 'procedure: a\n',
      'pumps/1.1.0/pack.yaml': 'pack: pumps\n',
    });
    const { diagnostics } = await readPack(`${folder}/pumps/`);
    expect(diagnostics).toMatchObject([
      { code: 'missing-manifest', remedy: `Did you mean ${folder}/pumps/1.0.0, ${folder}/pumps/1.1.0?` },
    ]);
    await write({ 'pack.yaml': 'pack: outer\n' });
    expect(new Set(await codes())).toEqual(new Set(['stray-file']));
  });

  it('reads what the files say, as the pure reader does', async () => {
    await write({ ...files, 'notes/read.me': 'x', '.hidden/x.yaml': '[', '.x.yaml': '[' });
    const read = await readPack(folder);
    const pure = readPackFromFiles(new Map(Object.entries(files)));
    expect(read.document).toEqual(pure.document);
    expect(read.document).toMatchObject({ limit: '0.20 mm', list: ['one', 'two', 'three'] });
    expect(read.diagnostics).toEqual(pure.diagnostics);
    expect(read.diagnostics).toMatchObject([
      { code: 'empty-value', span: { file: 'procedures/b.yaml', line: 3 } },
    ]);
    expect(read.files).toEqual(pure.files);
    expect(read.positions.value('/limit')).toEqual(pure.positions.value('/limit'));
  });

  posix('reads through a link to the pack folder itself', async () => {
    await write(files);
    const link = `${folder}-link`;
    await symlink(folder, link);
    try {
      expect((await readPack(link)).document).toEqual((await readPack(folder)).document);
    } finally {
      await rm(link);
    }
  });

  it('says when there is no folder', async () => {
    expect(await codes(join(folder, 'none'))).toEqual(['missing-folder']);
    await write({ 'pack.yaml': 'a: b\n' });
    expect(await codes(join(folder, 'pack.yaml'))).toEqual(['missing-folder']);
  });

  it('says when there is no manifest', async () => {
    expect(await codes()).toEqual(['missing-manifest']);
  });
});

describe('hostile folders', () => {
  posix.each([
    ['to a file outside', '/etc/passwd', 'a.yaml'],
    ['to a folder outside', '/etc', 'procedures'],
    ['to a file inside', 'pack.yaml', 'a.yaml'],
    ['to its own folder', '.', 'trials'],
    ['to itself', 'a.yaml', 'a.yaml'],
    ['to nothing', 'none', 'a.yaml'],
    ['from a picture', '/etc/passwd', 'rack.png'],
  ])('a link %s', async (_, target, name) => {
    await write({ 'pack.yaml': 'a: b\n' });
    await symlink(target, join(folder, name));
    const { diagnostics, document, files } = await readPack(folder);
    expect(diagnostics.map(({ code }) => code)).toEqual(['symbolic-link']);
    expect(document).toEqual({ a: 'b' });
    expect(files.map(({ path }) => path)).toEqual(['pack.yaml']);
  });

  posix('a pipe, which nobody writes to', async () => {
    await write({ 'pack.yaml': 'a: b\n' });
    execFileSync('mkfifo', [join(folder, 'a.yaml')]);
    expect(await codes()).toEqual(['irregular-file']);
  });

  posix('a file that may not be read', async ({ skip }) => {
    if (process.getuid?.() === 0) skip('the superuser may read everything');
    await write({ 'pack.yaml': 'a: b\n', 'c.yaml': 'd: e\n' });
    await chmod(join(folder, 'c.yaml'), 0);
    expect(await codes()).toEqual(['unreadable-file']);
  });

  posix('names that mean something else elsewhere', async () => {
    await write({ 'pack.yaml': 'a: b\n', 'b\\c.yaml': 'c: d\n', 'å.yaml': 'e: f\n', 'x\ny.yaml': 'g: h\n' });
    expect(await codes()).toEqual(['file-name', 'file-name', 'file-name']);
  });

  it('a folder named as a file', async () => {
    await write({ 'pack.yaml': 'a: b\n', 'more.yaml/x.yaml': 'c: d\n' });
    expect(await codes()).toEqual(['stray-file']);
  });

  it('a huge file, full of holes', async () => {
    await write({ 'pack.yaml': 'a: b\n', 'c.yaml': 'd: e\n' });
    await truncate(join(folder, 'c.yaml'), 20 * 1024 ** 3);
    expect(await codes()).toEqual(['too-large']);
  });

  it('many huge files', async () => {
    const names = Array.from({ length: 20 }, (_, index) => `f${index}.yaml`);
    await write(Object.fromEntries(['pack.yaml', ...names].map((name) => [name, 'a: b\n'])));
    for (const name of names) await truncate(join(folder, name), 20 * 1024 ** 3);
    expect(new Set(await codes())).toEqual(new Set(['too-large']));
  });

  it('too many files and folders', async () => {
    const add = (count: number, ending: string) => {
      for (let index = 0; index < count; index++) writeFileSync(join(folder, `f${index}${ending}`), '');
    };
    add(limits.files + 1, '.yaml');
    expect(await codes()).toEqual(['too-many-files']);
    add(limits.entries - limits.files, '.txt');
    const { diagnostics } = await readPack(folder);
    expect(diagnostics).toMatchObject([
      { code: 'too-many-files', message: expect.stringContaining('names') },
    ]);
  });

  it('folders nested without end', async () => {
    await write({ 'pack.yaml': 'a: b\n', [`${'d/'.repeat(200)}x.yaml`]: 'c: d\n' });
    expect(await codes()).toEqual(['too-deep']);
  });
});
