// SARIF 2.1.0, OASIS Standard of 27 March 2020. The schema (release 2.1.0-rtm.5) is read from the package that carries it.
import { join } from 'node:path';
import { compareRevisions, comparisonSarif, type Revision } from '@ferrule/compare';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';
import sarifSchema from '@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json' with { type: 'json' };
import { Ajv } from 'ajv';
import { expect, it } from 'vitest';

const { $schema: _draft4, id: _address, ...schema } = sarifSchema;
const isLog = new Ajv({
  strict: false,
  // One of its patterns is none where regular expressions are read with Unicode in mind.
  unicodeRegExp: false,
  allErrors: true,
  formats: {
    uri: (text: string) => /^[a-z][a-z0-9+.-]*:[^\s"<>\\^`{|}]+$/i.test(text),
    'uri-reference': (text: string) => /^[^\s"<>\\^`{|}]*$/.test(text),
    'date-time': true,
  },
}).compile(schema);

async function read(revision: string): Promise<Revision> {
  const folder = join(import.meta.dirname, '../../specs/marram-unit-pumps', revision);
  const { document, positions } = await readPack(folder);
  const { pack } = validate(document);
  if (pack === undefined) throw new Error(`${folder} is no pack`);
  const { digest } = bundleOf(document);
  return { name: revision, pack, digest, positions, release: 'unsigned', changelog: { text: undefined } };
}

it.each([
  ['1.0.0', '1.1.0'],
  ['1.1.0', '1.0.0'],
])('from %s to %s, as the standard has it', async (older, newer) => {
  const document = compareRevisions(await read(older), await read(newer));
  const log = comparisonSarif(document, { before: 'a/b%20c/', after: 'file:///packs/d/' }, '0.1.0');
  isLog(log);
  expect(isLog.errors ?? []).toEqual([]);
  for (const { tool, results } of log.runs) {
    expect(results.length).toBeGreaterThan(document.changes.length);
    for (const { ruleId, ruleIndex, message, level } of results) {
      expect(tool.driver.rules[ruleIndex]?.id).toBe(ruleId);
      // Clause 3.11.11: a message of plain text is a sentence, and ends with a period.
      expect(message.text).toMatch(/[.!?]”?$/);
      expect(['note', 'warning', 'error']).toContain(level);
    }
    const weaker = results.filter(({ level }) => level === 'warning').length;
    expect(weaker).toBe(document.changes.filter(({ effect }) => effect === 'weaker').length);
  }
});

it('a way to what a change lets happen is a code flow, and a trial that comes out otherwise a result', async () => {
  const folder = join(import.meta.dirname, '../../specs/valve-clearance/1.0.0');
  const { document, positions } = await readPack(folder);
  const revision = (written: unknown): Revision => {
    const { pack } = validate(written);
    if (pack === undefined) throw new Error('it is no pack');
    return { name: 'a', pack, digest: bundleOf(pack).digest, positions, release: 'unsigned' };
  };
  const before = revision(document);
  const loosened = structuredClone(document);
  Object(loosened).variants['marram-four'].facts['inlet-high'] = '0.50 mm';
  const after = revision(loosened);
  const behaviour = compareBehaviour(before.pack, after.pack, { mostTime: 120_000 });
  const compared = { ...compareRevisions(before, after), behaviour };
  const [permitted] = behaviour.permits.filter(({ way }) => way !== undefined);
  const { others } = behaviour.trials;
  expect([permitted?.found, others.length > 0, behaviour.cutShort]).toEqual(['way', true, false]);
  const of = (document: typeof compared) => {
    const log = comparisonSarif(document, { before: 'a/', after: 'b/' }, '0.1.0');
    isLog(log);
    expect(isLog.errors ?? []).toEqual([]);
    return log.runs[0];
  };
  const run = of(compared);
  const results: readonly Result[] = run?.results ?? [];
  const flows = results.flatMap(({ codeFlows = [] }) => codeFlows);
  expect(flows).toHaveLength(behaviour.permits.filter(({ way }) => way !== undefined).length);
  const steps = results[permitted?.change ?? -1]?.codeFlows?.[0]?.threadFlows[0]?.locations ?? [];
  expect(steps.map(({ executionOrder }) => executionOrder)).toEqual(permitted?.way?.map(({ from }) => from));
  for (const { location } of steps) expect(location.message.text).toMatch(/[.!?…”]$/);
  const trials = results.filter(({ ruleId }) => ruleId === 'other-trial');
  expect(trials.map(({ locations }) => locations?.[0]?.logicalLocations?.[0]?.fullyQualifiedName)).toEqual(
    others.map(({ trial }) => `/trials/${trial}`),
  );
  for (const { ruleId, ruleIndex, message } of results) {
    expect(run?.tool.driver.rules[ruleIndex]?.id).toBe(ruleId);
    expect(message.text).toMatch(/[.!?…]”?$/);
  }
  expect(run?.invocations[0]).toEqual({ executionSuccessful: true });
  const cut = of({ ...compared, behaviour: { ...behaviour, cutShort: true } });
  expect(cut?.invocations).toMatchObject([{ toolExecutionNotifications: [{ level: 'warning' }] }]);
});

/** What of a result is looked at here. */
interface Result {
  readonly ruleId: string;
  readonly ruleIndex: number;
  readonly message: { readonly text: string };
  readonly locations?: readonly {
    readonly logicalLocations?: readonly { readonly fullyQualifiedName: string }[];
  }[];
  readonly codeFlows?: readonly {
    readonly threadFlows: readonly {
      readonly locations: readonly {
        readonly executionOrder: number;
        readonly location: { readonly message: { readonly text: string } };
      }[];
    }[];
  }[];
}
