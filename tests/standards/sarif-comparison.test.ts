// SARIF 2.1.0, OASIS Standard of 27 March 2020. The schema (release 2.1.0-rtm.5) is read from the package that carries it.
import { join } from 'node:path';
import { compareRevisions, comparisonSarif, type Revision } from '@ferrule/compare';
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
