// SARIF 2.1.0, OASIS Standard of 27 March 2020. The schema (release 2.1.0-rtm.5) is read from the package that carries it.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { checkPack, type SarifSubject, sarifOf } from '@ferrule/check';
import { type Diagnostic, diagnosticCodes } from '@ferrule/engine';
import sarifSchema from '@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json' with { type: 'json' };
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { folderOf, smallPack } from '../../packages/check/test/folder.ts';

const { $schema: _draft4, id: _address, ...schema } = sarifSchema;
const isUri = (text: string): boolean => /^[a-z][a-z0-9+.-]*:[^\s"<>\\^`{|}]+$/i.test(text);
const isUriReference = (text: string): boolean => /^[^\s"<>\\^`{|}]*$/.test(text);
const validate = new Ajv({
  strict: false,
  // One of its patterns is none where regular expressions are read with Unicode in mind.
  unicodeRegExp: false,
  allErrors: true,
  formats: { uri: isUri, 'uri-reference': isUriReference, 'date-time': true },
}).compile(schema);

/** What the standard asks for and the schema does not say. */
function beyondSchema(log: ReturnType<typeof sarifOf>): readonly string[] {
  const faults: string[] = [];
  for (const run of log.runs) {
    const ids = run.tool.driver.rules.map((rule) => rule.id);
    // Clause 3.49.3 and 3.27.6: an id names one rule, and an index leads to the rule of that id.
    if (new Set(ids).size !== ids.length) faults.push('two rules of one id');
    for (const result of run.results) {
      if (ids[result.ruleIndex] !== result.ruleId) faults.push(`${result.ruleIndex} is not ${result.ruleId}`);
      // Clause 3.11.11: a message of plain text is a sentence, and ends with a period.
      if (!/[.!?:]$/.test(result.message.text)) faults.push(`no sentence: ${result.message.text}`);
      for (const { physicalLocation } of result.locations) {
        if (physicalLocation === undefined) continue;
        const { artifactLocation, region } = physicalLocation;
        // Clause 3.4.4: a relative URI has a base that the run knows.
        const base = 'uriBaseId' in artifactLocation ? artifactLocation.uriBaseId : undefined;
        const isKnown = base !== undefined && base in run.originalUriBaseIds;
        if (!isKnown && !isUri(artifactLocation.uri)) faults.push(`no base of ${artifactLocation.uri}`);
        // Clause 3.30.7, 3.30.8: the end is not before the start.
        if (
          region.endLine < region.startLine ||
          (region.endLine === region.startLine && region.endColumn < region.startColumn)
        )
          faults.push('a region turned round');
      }
    }
  }
  return faults;
}

const logOf = async (folder: string, base: string) => {
  const report = await checkPack(folder);
  // What is written is JSON, so that is what is looked at.
  const subject: SarifSubject = { base, report };
  const log = sarifOf([subject], '1.2.3');
  return { report, log: JSON.parse(JSON.stringify(log)) as typeof log };
};

const packs: Readonly<Record<string, Parameters<typeof smallPack>[0]>> = {
  'nothing wrong': [],
  'a mistyped key': [['if-nonconforming:', 'if-nonconformnig:']],
  'a mistyped state, a mistyped instrument and wrong limits': [
    ['cover on., changes: { cover:', 'cover on., changes: { covr:'],
    ['instrument: feeler', 'instrument: feler'],
    ['[0.5 mm, 1.0 mm]', '[1.0 mm, 0.5 mm]'],
  ],
  'no YAML': [['readings:\n', 'readings\n']],
  'letters beyond the first plane before the fault': [
    ['title: Check the gap', 'title: { 𝛥𝛥: 1 }'],
    ['- { step: cover-off, do: Take', '- { step: cover-off, x-𝛥: 𝛥𝛥𝛥, doo: Take'],
  ],
  'a law that is broken': [["cover off., changes: { cover: ['on', 'off'] } }", 'cover off. }']],
  'a wrong end': [["changes: { cover: ['off', 'on'] } }", '}']],
  'a warning': [['plausible: [0 mm, 5 mm]', 'plausible: [0 mm, 6 mm]']],
};

describe('SARIF of check', () => {
  it.each(Object.keys(packs))('is valid and whole for %s', async (name) => {
    const files = smallPack(packs[name]);
    const { report, log } = await logOf(folderOf(files), 'packs/gap%20check/');
    expect(validate(log), JSON.stringify(validate.errors, null, 1)).toBe(true);
    expect(beyondSchema(log)).toEqual([]);
    const [run] = log.runs;
    expect(run?.tool.driver).toMatchObject({ name: 'Ferrule', version: '1.2.3' });
    expect(run?.tool.driver.rules.map((rule) => rule.id)).toEqual(diagnosticCodes);
    expect(run?.columnKind).toBe('utf16CodeUnits');
    const results = run?.results ?? [];
    expect(results.map((one) => [one.ruleId, one.level])).toEqual(
      report.diagnostics.map((one) => [one.code, one.severity]),
    );
    for (const [number, result] of results.entries()) {
      const { message, span } = report.diagnostics[number] as Diagnostic;
      expect(result.message.text.startsWith(message)).toBe(true);
      const place = result.locations[0]?.physicalLocation;
      expect(place?.artifactLocation.uri).toBe(`packs/gap%20check/${span?.file}`);
      const { startLine, startColumn, endLine, endColumn } = place?.region ?? {};
      expect([startLine, startColumn, endLine, endColumn]).toEqual([
        span?.line,
        span?.column,
        span?.endLine,
        span?.endColumn,
      ]);
    }
    if (name !== 'nothing wrong') expect(results.length).toBeGreaterThan(0);
  });

  it('counts columns in UTF-16 code units: the region cuts the key out of its line', async () => {
    const files = smallPack(packs['letters beyond the first plane before the fault']);
    const { log } = await logOf(folderOf(files), '');
    const result = log.runs[0]?.results.find((one) => one.message.text.includes('doo'));
    const region = result?.locations[0]?.physicalLocation?.region;
    const line = files['procedures/check-gap.yaml']?.split('\n')[(region?.startLine ?? 0) - 1] ?? '';
    expect(line.slice((region?.startColumn ?? 0) - 1, (region?.endColumn ?? 0) - 1)).toBe('doo');
  });

  it('shows the shortest way to a broken law, and the states there', async () => {
    const { log } = await logOf(folderOf(smallPack(packs['a law that is broken'])), '');
    const result = log.runs[0]?.results.find((one) => one.ruleId === 'law-broken');
    const places = result?.codeFlows?.[0]?.threadFlows[0]?.locations ?? [];
    expect(places.map((one) => one.location.message.text)).toEqual([
      'preliminary/equipment: done',
      'cover-off: done',
      'probe-gap',
    ]);
    expect(places.at(-1)).toMatchObject({ state: { cover: { text: 'on' } } });
    expect(places.map((one) => 'physicalLocation' in one.location)).toEqual([true, true, true]);
  });

  it('names what another place is to the fault', async () => {
    const { log } = await logOf(folderOf(smallPack(packs['a warning'])), '');
    expect(log.runs[0]?.results[0]?.relatedLocations).toMatchObject([
      { id: 0, physicalLocation: { artifactLocation: { uri: 'pack.yaml' } }, message: { text: /its range/ } },
    ]);
  });

  it('says a file by its whole address where the pack lies elsewhere', async () => {
    const folder = folderOf(smallPack(packs['a warning']));
    const { log } = await logOf(folder, `${pathToFileURL(folder).href}/`);
    expect(validate(log)).toBe(true);
    const place = log.runs[0]?.results[0]?.locations[0]?.physicalLocation?.artifactLocation;
    expect(place).toEqual({ uri: pathToFileURL(join(folder, 'procedures/check-gap.yaml')).href });
    expect(readFileSync(new URL(place?.uri ?? ''), 'utf8')).toContain('check-gap');
  });

  it('says that nothing was looked at in a folder that is not there', async () => {
    const { log } = await logOf(join(folderOf({}), 'nowhere'), 'nowhere/');
    expect(validate(log)).toBe(true);
    expect(log.runs[0]?.invocations).toEqual([{ executionSuccessful: false }]);
    expect(log.runs[0]?.results.map((one) => [one.ruleId, one.locations])).toEqual([['missing-folder', []]]);
  });

  it('is held against a schema that bites', async () => {
    const { log } = await logOf(folderOf(smallPack(packs['a warning'])), 'a b/');
    expect(validate(log)).toBe(false);
    const [run] = log.runs;
    expect(validate({ ...log, runs: [{ ...run, results: [{ level: 'fatal', message: {} }] }] })).toBe(false);
  });
});
