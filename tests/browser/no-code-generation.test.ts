import { fileURLToPath } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import * as core from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';
import { build } from 'esbuild';
import { beforeAll, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));

const engine = { ...core, validate };

/** The engine as a browser loads it, in a realm that has the language only: no host, and no code from text. */
let realm: object;
/** The valve-clearance pack as a bundle: everything goes into the realm as text, and comes out as text. */
let bundle: { readonly text: string; readonly digest: string };

beforeAll(async () => {
  const { outputFiles } = await build({
    stdin: {
      contents: "export * from '@ferrule/engine'; export { validate } from '@ferrule/engine/validate';",
      resolveDir: root,
    },
    bundle: true,
    write: false,
    minify: true,
    format: 'iife',
    globalName: 'engine',
    platform: 'browser',
    target: 'es2022',
    conditions: ['source', 'module'],
  });
  realm = createContext({}, { codeGeneration: { strings: false, wasm: false } });
  runInContext(outputFiles[0]?.text ?? '', realm);
  bundle = bundleOf((await readPack(`${root}/specs/valve-clearance/1.0.0`)).document);
});

/**
 * Runs the whole job from a bundle, answering whatever is offered first. It is written to be run in either realm: it
 * uses nothing but its arguments.
 */
function work(
  { validate, resolve, start, decide, offers }: typeof engine,
  text: string,
  digest: string,
): string {
  const at = '2027-01-31T08:00:00Z';
  const { pack } = validate(JSON.parse(text).document);
  if (pack === undefined) return 'the pack does not fit the format';
  const { plan } = resolve(pack, { procedure: 'set-clearances', variant: 'marram-four' });
  if (plan === undefined) return 'the pack does not resolve';
  const request = {
    bundle: digest,
    persons: [
      { role: 'technician', person: 'technician A' },
      { role: 'lead', person: 'lead C' },
    ],
    instruments: plan.instruments.map(({ id }) => ({ kind: id, identity: `${id}-1`, due: '2099-12-31' })),
  };
  let decided = start(plan, request, { at, by: 'technician A', id: 'c0' });
  for (let count = 1; count < 500; count++) {
    if (decided.job === undefined) return JSON.stringify(decided.refusals);
    const { job } = decided;
    if (job.control.closed !== undefined) return JSON.stringify(job.facts);
    const [first] = offers(plan, job).offers;
    const by = first?.offer === 'witness' ? 'lead C' : 'technician A';
    const occasion = { at, by, id: `c${count}` };
    if (first?.offer === 'record') {
      const value =
        first.answers?.[0]?.id ?? first.example ?? (first.entry.startsWith('inlet') ? '0.25' : '0.45');
      decided = decide(plan, job, { command: 'record', entry: first.entry, value }, occasion);
    } else if (first?.offer === 'acknowledge' || first?.offer === 'done' || first?.offer === 'witness') {
      decided = decide(plan, job, { command: first.offer, step: first.step }, occasion);
    } else if (first?.offer === 'close') decided = decide(plan, job, { command: 'close' }, occasion);
    else return `nobody answers ${first?.offer}`;
  }
  return 'the job has no end';
}

/** What a script in the realm comes to. */
const inRealm = (script: string): unknown => runInContext(script, realm);

test('the realm allows no code from text, and has nothing of a host', () => {
  expect(() => inRealm('new Function("return 1")()')).toThrow(/Code generation from strings/);
  expect(() => inRealm('eval("1")')).toThrow(/Code generation from strings/);
  expect(
    inRealm('typeof process + typeof require + typeof setTimeout + typeof TextEncoder + typeof URL'),
  ).toBe('undefined'.repeat(5));
});

test('a whole job runs there from a bundle, with the same facts as here', () => {
  const here = work(engine, bundle.text, bundle.digest);
  const texts = `${JSON.stringify(bundle.text)}, ${JSON.stringify(bundle.digest)}`;
  const there = inRealm(`(${work})(engine, ${texts})`);
  expect(there).toBe(here);
  const kinds = (JSON.parse(here) as readonly core.Fact[]).map(({ fact }) => fact.kind);
  expect(kinds.filter((kind) => kind === 'judged')).toHaveLength(8);
  expect([kinds[0], kinds.at(-1)]).toEqual(['started', 'closed']);
});

test('a bad document and a wrong reading are answered there as here', () => {
  const bad = JSON.stringify({ format: '1', pack: 'Bad Name', stpes: [] });
  const diagnose = ({ validate }: typeof engine, text: string): string =>
    JSON.stringify(validate(JSON.parse(text)).diagnostics);
  const here = diagnose(engine, bad);
  expect(inRealm(`(${diagnose})(engine, ${JSON.stringify(bad)})`)).toBe(here);
  expect(JSON.parse(here).length).toBeGreaterThan(3);
  const read = ({ readEntry, findUnit }: typeof engine, text: string): string => {
    const unit = findUnit('mm', 'length');
    return unit === undefined ? '' : JSON.stringify(readEntry(text, { kind: 'length', unit }));
  };
  for (const text of ['1,234', '0.25 bar', '', '0.25']) {
    expect(inRealm(`(${read})(engine, ${JSON.stringify(text)})`)).toBe(read(engine, text));
  }
});
