import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Ajv from 'ajv/dist/2020.js';
import { dump, FAILSAFE_SCHEMA, load } from 'js-yaml';
import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { median } from './contest.ts';
import { folder, readDemoPack } from './demo-pack.ts';
import { grownDocument } from './grown-packs.ts';
import { type Probed, parts } from './probe.ts';
import { duration, type Row, significant } from './row.ts';

const ROUNDS = 5;
const AIM_MILLISECONDS = 1000;
const AIM_MEGABYTES = 300;
const LARGEST = 5000;
const command = 'packages/cli/dist/ferrule.js';

const says: Readonly<Record<(typeof parts)[number], string>> = {
  node: 'of this: Node, and loading the code',
  read: 'of this: reading files',
  validate: 'of this: holding them against the format',
  digest: 'of this: the digest',
  resolve: 'of this: resolving every variant',
  rules: 'of this: the kinds of diagnostic',
  proof: 'of this: the proofs',
};

/** A check of the demonstration pack from a cold start, part by part, and what a check of a very large pack takes. */
export async function measureCheck(): Promise<readonly Row[]> {
  const measure = 'check of the demonstration pack, cold';
  const calls: number[] = [];
  const starts: number[] = [];
  const others: number[] = [];
  const probes: Probed[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    starts.push(timed(['-e', '0']));
    calls.push(timed([command, 'check', folder]));
    probes.push(probed(folder));
    others.push(timed([process.argv[1] ?? '', '--lint', folder]));
  }
  const whole = median(calls);
  const ratio = (nanoseconds: number): string => `× ${significant(nanoseconds / whole)}`;
  const row = (of: string, nanoseconds: number): Row => ({
    measure,
    of,
    value: duration(nanoseconds),
    ratio: ratio(nanoseconds),
  });
  const [first] = probes;
  const { variants } = await readDemoPack();
  const proof = median(probes.map((one) => one.spent.proof));
  const rate = Math.round(((first?.states ?? 0) / proof) * 1e3).toLocaleString('en');
  const memory = largeMemory();
  return [
    {
      ...row(`ferrule check, ${Object.keys(variants).length} variants`, whole),
      aim: { says: `${AIM_MILLISECONDS} ms`, met: whole <= AIM_MILLISECONDS * 1e6 },
    },
    {
      measure,
      of: 'the same, its time on the processor',
      value: duration(median(probes.map((one) => one.processor)) * 1e6),
    },
    row('node -e 0', median(starts)),
    ...parts.map((part) => row(says[part], median(probes.map((one) => one.spent[part])) * 1e6)),
    row('js-yaml, ajv and json-logic-js alone', median(others)),
    {
      measure,
      of: `${first?.nodes.toLocaleString('en')} nodes, ${first?.states.toLocaleString('en')} states, ${first?.strikes.toLocaleString('en')} strikes`,
      value: `${rate} states a second`,
    },
    {
      measure: `memory, ${LARGEST.toLocaleString('en')} steps`,
      of: 'ferrule check',
      value: `${significant(memory / 1e6)} MB`,
      aim: { says: `${AIM_MEGABYTES} MB`, met: memory <= AIM_MEGABYTES * 1e6 },
    },
  ];
}

function timed(words: readonly string[]): number {
  const before = process.hrtime.bigint();
  const { status } = spawnSync(process.execPath, words, { stdio: 'ignore' });
  const spent = Number(process.hrtime.bigint() - before);
  if (status !== 0) throw new Error(`${words.join(' ')} ended with ${status}`);
  return spent;
}

/** What a process that does nothing else finds out about a pack: this bundle again, called to probe. */
export function probed(pack: string): Probed {
  const words = [process.argv[1] ?? '', '--probe', pack];
  const { stdout, stderr, status } = spawnSync(process.execPath, words, { encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout) as Probed;
}

/** Runs on a folder that holds a document as a pack, and takes it away again. */
export function inFolder<T>(document: object, run: (pack: string) => T): T {
  const pack = mkdtempSync(join(tmpdir(), 'ferrule-speed-'));
  try {
    writeFileSync(join(pack, 'pack.yaml'), dump(document, { noRefs: true }));
    return run(pack);
  } finally {
    rmSync(pack, { recursive: true });
  }
}

const largeMemory = (): number => inFolder(grownDocument({ steps: LARGEST }), (pack) => probed(pack).memory);

/**
 * What a pack gets from libraries put together by hand: parsed, held against the schema, every expression evaluated. No
 * positions, no names, no units, no proof.
 */
export function lint(pack: string): void {
  const schema = JSON.parse(readFileSync('packages/engine/schema/pack.schema.json', 'utf8'));
  const document: Record<string, unknown> = {};
  for (const name of readdirSync(pack, { recursive: true, encoding: 'utf8' })) {
    if (!name.endsWith('.yaml')) continue;
    const file: Record<string, unknown> = Object(
      load(readFileSync(join(pack, name), 'utf8'), { schema: FAILSAFE_SCHEMA }),
    );
    const { procedure, ...body } = file;
    if (name.startsWith('procedures')) add(document, 'procedures', { [String(procedure)]: body });
    else if (name.startsWith('trials')) {
      for (const { trial, ...one } of [file['trials'] ?? file].flat().map(Object))
        add(document, 'trials', { [String(trial)]: one });
    } else for (const [key, value] of Object.entries(file)) add(document, key, value);
  }
  const isValid = new Ajv.default({ strict: false, allErrors: true }).compile(Object(schema));
  if (!isValid(document)) throw new Error(JSON.stringify(isValid.errors?.slice(0, 3)));
  let count = 0;
  const waiting: unknown[] = [document];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (typeof next !== 'object' || next === null) continue;
    for (const [key, value] of Object.entries(next)) {
      if (key !== 'logic' && key !== 'is') {
        if (value !== undefined) waiting.push(value);
        continue;
      }
      count++;
      try {
        jsonLogic.apply(value as RulesLogic, {});
      } catch (_) {
        // Our own operations are none of its.
      }
    }
  }
  if (count === 0) throw new Error('no expression was found');
}

function add(document: Record<string, unknown>, section: string, value: unknown): void {
  const before = document[section];
  if (typeof value === 'string') document[section] = value;
  else if (Array.isArray(value)) document[section] = [...(Array.isArray(before) ? before : []), ...value];
  else document[section] = { ...Object(before), ...Object(value) };
}
