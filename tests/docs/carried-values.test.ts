import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { readJob } from '@ferrule/records';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ferrule } from '../cli/ferrule.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/carried-values.md', import.meta.url), 'utf8');
const blocks = fencedBlocks(page);
const texts = (info: string): readonly string[] =>
  blocks.filter((one) => one.info === info).map((one) => one.text);
const flat = (text: string): string => text.replace(/\s+/g, ' ').trim();

const serial = 'ME-100200';
const call = (pack: string, procedure: string): readonly string[] => [
  'run',
  `${pack}/1.0.0`,
  '--procedure',
  procedure,
  '--variant',
  'marram-two',
  '--jobs',
  'jobs',
];
const people = ['technician A', 'lead C'];

let folder = '';
let first = '';
let closing = '';
const run = (words: readonly string[], lines: readonly string[] = []) =>
  ferrule(words, { cwd: folder, lines });
const jobsOf = (): readonly string[] =>
  readdirSync(join(folder, 'jobs')).map((one) => one.replace('.jsonl', ''));

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
  for (const { info, text } of blocks) {
    const [, path] = /^yaml file (.*)$/.exec(info) ?? [];
    if (path === undefined) continue;
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  const lines = [
    ...people,
    'CG-1 2099-12-31',
    'BA-1',
    'done',
    serial,
    '0.980',
    'done',
    '24.2',
    'done',
    '25.0',
    'done',
  ];
  closing = run(call('compression-demo', 'cranking-compression'), [...lines, 'close']).stdout;
  first = jobsOf()[0] ?? '';
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A screen with what is another in each run left out. */
const lasting = (screen: string): string =>
  flat(screen)
    .replaceAll(first, 'FIRST')
    .replace(/\d{4}-\d\d-\d\d, (?:less than a minute|\d+ \w+) old/g, 'DAY, AGE old');

describe('the two packs', () => {
  it.each(['compression-demo', 'balance-demo'])('%s has no fault, beside the other one', async (pack) => {
    const { diagnostics, proofs } = await checkPack(join(folder, pack, '1.0.0'), { withTrials: true });
    expect(diagnostics).toEqual([]);
    expect(proofs.map((one) => one.exploration.reachesEnd)).toEqual([true]);
  });

  it('are held against one another', async () => {
    const changes = [
      ['compression-demo', 'procedure: cylinder-balance', 'procedure: cylinder-balanse', 'has no procedure'],
      ['balance-demo', 'from: compression-demo', 'from: compresion-demo', 'Did you mean compression-demo?'],
      ['balance-demo', 'procedure: cranking-compression', 'procedure: cranking', 'no procedure cranking'],
      [
        'balance-demo',
        'value: corrected-pressure',
        'value: cranking-pressure',
        'does not export cranking-pressure',
      ],
      [
        'balance-demo',
        'value: corrected-pressure',
        'value: corrected-presure',
        'Did you mean corrected-pressure?',
      ],
      [
        'balance-demo',
        'of-engine: engine-serial',
        'of-engine: engine-number',
        'does not fill in engine-number',
      ],
    ] as const;
    for (const [pack, from, to, says] of changes) {
      const path = join(folder, pack, '1.0.0/pack.yaml');
      const text = readFileSync(path, 'utf8');
      const other = to.includes('engine-number')
        ? text.replaceAll('engine-serial', 'engine-number')
        : text.replace(
            pack === 'compression-demo' ? `${from}, title` : from,
            pack === 'compression-demo' ? `${to}, title` : to,
          );
      expect(other, from).not.toBe(text);
      writeFileSync(path, other);
      const { diagnostics } = await checkPack(dirname(path), { withoutProof: true });
      writeFileSync(path, text);
      const found = diagnostics.filter((one) => one.code === 'not-beside');
      expect(
        found.map((one) => [one.severity, one.span?.file]),
        to,
      ).toEqual([['warning', 'pack.yaml']]);
      expect(`${found[0]?.message} ${found[0]?.remedy}`).toContain(says);
    }
  });

  it('tell a reading of another kind, and one that is taken otherwise', async () => {
    const path = join(folder, 'balance-demo/1.0.0/pack.yaml');
    const text = readFileSync(path, 'utf8');
    const says = async (change: (text: string) => string): Promise<string> => {
      writeFileSync(path, change(text));
      const { diagnostics } = await checkPack(dirname(path), { withoutProof: true });
      writeFileSync(path, text);
      return diagnostics.map((one) => `${one.code} ${one.message} ${one.remedy}`).join('\n');
    };
    const steps = (all: string): string =>
      all.slice(0, all.indexOf('trials:')).replace(/derived:[\s\S]*?steps:/, 'steps:');
    const bare = (all: string): string => steps(all).replace(/ {6}- \{ step: compare.*\n/, '');
    expect(await says((all) => bare(all).replace(/ {8}per: bore\n/, ''))).toContain(
      'is taken per bore, and the reading is not. Write corrected-pressure@1',
    );
    expect(
      await says((all) =>
        bare(all)
          .replaceAll(/quantity: pressure/g, 'quantity: torque')
          .replaceAll(' bar', ' N·m')
          .replaceAll('unit: bar', 'unit: N·m'),
      ),
    ).toContain('is of the kind pressure, and the reading is torque');
  });
});

describe('the two jobs', () => {
  it('say what comes next', () => {
    for (const text of texts('text first')) expect(flat(closing)).toContain(flat(text));
  });

  it('hand the values on, with their age, and may measure instead', () => {
    const begin = [...people, 'CG-1 2099-12-31', 'done', serial];
    const path = `jobs/${first}.jsonl`;
    const lines = [...begin, `carry ${path}`, 'no', 'carry', 'yes', 'carry', 'yes', 'facts all', 'close'];
    const { stdout, exitCode } = run(call('balance-demo', 'cylinder-balance'), lines);
    expect(exitCode).toBe(0);
    for (const text of texts('text second')) expect(lasting(stdout)).toContain(flat(text));
    expect(stdout).toContain('Nothing was taken over. Measure, and type the value.');
    expect(lasting(stdout)).toContain(
      'Taken over - Bore 1: Compression at 1 bar of air: 24.69 bar, less than a minute old, from the job FIRST',
    );
    expect(lasting(stdout)).toContain('least balance: taken over from the job FIRST,');
    const second = jobsOf().find((one) => one !== first) ?? '';
    const read = readJob(join(folder, 'jobs', `${second}.jsonl`));
    if (read.fault !== undefined) throw new Error(read.fault.message);
    const record = readJob(join(folder, path));
    const carried = read.facts.flatMap(({ fact }) => (fact.kind === 'carried' ? [fact] : []));
    // computed: 24.2/0.980 = 1210/49 = 24.69…, 25.0/0.980 = 1250/49 = 25.51…
    expect(carried.map((one) => [one.digits, one.exact])).toEqual([
      ['24.69', '1210/49'],
      ['25.51', '1250/49'],
    ]);
    expect(carried[0]?.from).toMatchObject({
      job: first,
      record: record.fault === undefined ? record.last : '',
      pack: 'compression-demo',
      engine: serial,
      verdict: 'conforming',
      instruments: ['BA-1', 'CG-1'],
    });
    // The job can be taken up again from its record.
    const again = run(['run', 'balance-demo/1.0.0', '--jobs', 'jobs', '--job', second]);
    expect(again.stdout).toContain('is closed');
  });

  it('are done by a file of answers, too, of another folder', () => {
    const answers = readFileSync(join(folder, 'answers.yaml'), 'utf8').replace('FIRST', first);
    writeFileSync(join(folder, 'answers.yaml'), answers);
    const words = [...call('balance-demo', 'cylinder-balance').slice(0, 6), '--answers'];
    const { stdout, exitCode } = run([...words, 'answers.yaml', '--format', 'json']);
    expect(exitCode).toBe(0);
    const { ended, verdicts, facts } = JSON.parse(stdout);
    expect(ended).toBe('closed');
    expect(verdicts[0].carried).toEqual([expect.stringMatching(/^.*cranking-compression.*, .* old$/)]);
    expect(facts.filter((one: { fact: { kind: string } }) => one.fact.kind === 'carried')).toHaveLength(2);
    const missing = answers.replace(first, 'nothing');
    writeFileSync(join(folder, 'other.yaml'), missing);
    const wrong = run([...words, 'other.yaml']);
    expect([wrong.exitCode, wrong.stderr]).toEqual([2, expect.stringContaining('jobs/nothing.jsonl')]);
  });

  it('refuse another engine, a job that is open, one whose pack has changed, and what is no record', () => {
    const begin = [...people, 'CG-1 2099-12-31', 'done'];
    const screen = (...lines: readonly string[]): string =>
      flat(run(call('balance-demo', 'cylinder-balance').slice(0, 6), [...begin, ...lines]).stdout);
    expect(screen('ME-999999', `carry jobs/${first}.jsonl`)).toContain(
      `was on ${serial}; this is ME-999999. Name another job, or measure.`,
    );
    expect(screen(serial, 'carry')).toContain('Say from which job: carry and the path of its record');
    expect(screen(serial, 'carry answers.yaml')).toContain('Nothing was taken over.');
    expect(screen(serial, '?')).toContain('carry FILE: takes the value over from a closed job');
    const open = run(call('compression-demo', 'cranking-compression'), [
      ...people,
      'CG-1 2099-12-31',
      'BA-1',
      serial,
      'quit',
    ]);
    const [, path = ''] = /kept in (\S+\.jsonl)/.exec(open.stdout) ?? [];
    expect(screen(serial, `carry ${path}`)).toContain('is not closed yet. Finish that job first');
    const pack = join(folder, 'compression-demo/1.0.0/pack.yaml');
    const text = readFileSync(pack, 'utf8');
    writeFileSync(pack, text.replace('at-least: 20 bar', 'at-least: 19 bar'));
    expect(screen(serial, `carry jobs/${first}.jsonl`)).toContain(
      'and that is not at hand. Put this pack back',
    );
    writeFileSync(pack, text);
  });

  it('need no gauge where all is taken over, and one where something is measured', () => {
    const path = `jobs/${first}.jsonl`;
    const lines = [
      ...people,
      '?',
      'none',
      'done',
      serial,
      `carry ${path}`,
      'yes',
      '24',
      'carry',
      'yes',
      'close',
    ];
    const { stdout } = run(call('balance-demo', 'cylinder-balance').slice(0, 6), lines);
    expect(stdout).toContain('its number, calibrated until, or none >');
    expect(flat(stdout)).toContain('or the word none, where every value is taken over from an earlier job.');
    expect(flat(stdout)).toContain('No Compression gauge is named in this job.');
    expect(flat(stdout)).toContain('The job is closed.');
  });

  it('stand on the sheet, with room for the age', () => {
    const { stdout } = run([
      'sheet',
      'balance-demo/1.0.0',
      '--procedure',
      'cylinder-balance',
      '--variant',
      'marram-two',
    ]);
    const text = flat(stdout.replace(/<[^>]+>/g, ' '));
    expect(text).toContain(
      'Or take over: corrected pressure of a finished job, cranking compression (pack compression-demo), at most 30 d old; Serial number of the engine the same.',
    );
  });
});
