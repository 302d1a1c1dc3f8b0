import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

// What an integrator takes: each package as `npm pack` makes it, put into a folder of its own and used from there.
const root = fileURLToPath(new URL('../..', import.meta.url));
// Inside node_modules, so that what the packages take from elsewhere is found without a registry.
const scratch = join(root, 'node_modules', '.ferrule-packed');
const names = ['signing', 'engine', 'source', 'records', 'check', 'compare', 'print', 'server'] as const;
const tool = (path: string): string => join(root, 'node_modules', path);

function run(command: string, words: readonly string[], cwd: string): string {
  const { status, stdout, stderr, error } = spawnSync(command, words, { cwd, encoding: 'utf8' });
  expect(status, `${error?.message ?? ''}${stdout}${stderr}`).toBe(0);
  return stdout;
}
const node = (...words: readonly string[]): string => run(process.execPath, words, scratch);

const tarballs = new Map<string, string>();

beforeAll(() => {
  rmSync(scratch, { recursive: true, force: true });
  mkdirSync(join(scratch, 'node_modules/@ferrule'), { recursive: true });
  run(process.execPath, [join(root, 'packages/cli/build-types.js')], root);
  run(
    'npm',
    [
      'pack',
      '--silent',
      '--pack-destination',
      scratch,
      ...names.flatMap((name) => ['-w', `packages/${name}`]),
    ],
    root,
  );
  for (const file of readdirSync(scratch)) {
    const [, name] = /^ferrule-(\w+)-.*\.tgz$/.exec(file) ?? [];
    if (name === undefined) continue;
    tarballs.set(name, join(scratch, file));
    const folder = join(scratch, 'node_modules/@ferrule', name);
    mkdirSync(folder);
    run('tar', ['-xzf', join(scratch, file), '--strip-components=1', '-C', folder], scratch);
  }
  writeFileSync(join(scratch, 'package.json'), '{ "type": "module", "private": true }');
}, 240_000);
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const program = `
import { Rational, commandNames, judgeReadings, offers, parseQuantity, resolve, start } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { replay } from '@ferrule/engine/replay';
import { explore } from '@ferrule/engine/proof';
import { globalRisks } from '@ferrule/engine/risk';
import { cardFormat, cardHtml, jobCard } from '@ferrule/print';
import { bundleOf, readPack } from '@ferrule/source';
import { createServer } from '@ferrule/server';
import { folderStore } from '@ferrule/records';

const { document } = await readPack(process.argv[2] ?? '');
const { pack } = validate(document);
if (pack === undefined) throw new Error('no pack');
const { plan } = resolve(pack, { procedure: 'set-clearances', variant: 'marram-four' });
if (plan === undefined) throw new Error('no plan');
const persons = plan.roles.map(({ id }) => ({ role: id, person: id + ' A' }));
const first = persons[0];
const instruments = plan.instruments.map(({ id }) => ({ kind: id, identity: id + '-1', due: '2099-12-31' }));
const occasion = { at: '2026-03-02T07:00:00Z', by: first === undefined ? '' : first.person, id: 'a' };
const started = start(plan, { bundle: bundleOf(document).digest, persons, instruments }, occasion);
if (started.facts === undefined) throw new Error(JSON.stringify(started.refusals));
const made = replay(plan, started.facts);
if (made.job === undefined) throw new Error(made.fault.message);
const card = jobCard(plan, started.facts, { pack });
if (card.format !== cardFormat || !cardHtml(card).includes('UNFINISHED')) throw new Error('no card');
const server = createServer({ store: folderStore(process.argv[3] ?? ''), packs: [] });
const answer = await server.inject({ url: '/openapi.json', headers: { host: '127.0.0.1:8321' } });
await server.close();
console.log(JSON.stringify({
  step: offers(plan, made.job).step?.title !== undefined,
  commands: commandNames.length > 5,
  api: answer.statusCode,
  third: Rational.of(1, 3).toFraction(),
  quantity: 'quantity' in parseQuantity('0.25 mm', 'length'),
  functions: [explore, globalRisks, judgeReadings].every((one) => typeof one === 'function'),
}));
`;
const says = { step: true, commands: true, api: 200, third: '1/3', quantity: true, functions: true };

describe('the packed packages', () => {
  it('hold what they name and nothing of the tests', () => {
    expect([...tarballs.keys()].sort()).toEqual([...names].sort());
    for (const name of names) {
      const folder = join(scratch, 'node_modules/@ferrule', name);
      expect(existsSync(join(folder, 'dist/index.js')), name).toBe(true);
      expect(existsSync(join(folder, 'types/index.d.ts')), name).toBe(true);
      expect(existsSync(join(folder, 'README.md')), name).toBe(true);
      expect(existsSync(join(folder, 'test')), name).toBe(false);
    }
  });

  it('run from plain JavaScript', () => {
    // The types that TypeScript would check are not there for Node, and nothing else differs.
    writeFileSync(join(scratch, 'plain.mjs'), program);
    const pack = join(root, 'specs/valve-clearance/1.0.0');
    expect(JSON.parse(node('plain.mjs', pack, join(scratch, 'jobs')))).toEqual(says);
  });

  it('are typed for a strict program', () => {
    writeFileSync(join(scratch, 'strict.mts'), program);
    writeFileSync(
      join(scratch, 'wrong.mts'),
      "import { resolve } from '@ferrule/engine';\nresolve('no pack', 1);\n",
    );
    const options = [
      '--strict',
      '--exactOptionalPropertyTypes',
      '--noUncheckedIndexedAccess',
      '--noEmit',
      '--types',
      'node',
    ];
    const check = (file: string) =>
      spawnSync(
        process.execPath,
        [
          tool('typescript/bin/tsc'),
          ...options,
          '--module',
          'nodenext',
          '--target',
          'es2023',
          '--ignoreConfig',
          file,
        ],
        { cwd: scratch, encoding: 'utf8' },
      );
    const strict = check('strict.mts');
    expect(strict.stdout + strict.stderr).toBe('');
    expect(check('wrong.mts').stdout).toMatch(/wrong\.mts\(2,\d+\): error TS2345/);
  }, 60_000);

  it.each(['engine', 'server'])(
    '%s passes the linters of packages',
    (name) => {
      const tarball = tarballs.get(name) ?? '';
      node(tool('publint/src/cli.js'), '--strict', join(scratch, 'node_modules/@ferrule', name));
      // ES modules only, said by its profile: what asks for them with require is told so.
      node(
        tool('@arethetypeswrong/cli/dist/index.js'),
        tarball,
        '--profile',
        'esm-only',
        '--no-emoji',
        '--no-color',
      );
    },
    120_000,
  );
});
