import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';

const clearance = 'specs/valve-clearance/1.0.0';
const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";

describe('a wrong call ends with 2 and one line of reason on stderr', () => {
  const cases: readonly (readonly [readonly string[], RegExp])[] = [
    [['chek'], /^ferrule: unknown command 'chek'\n\(Did you mean check\?\)/],
    [['check'], /^ferrule: missing required argument 'PACK'/],
    [['check', 'nowhere'], /^ferrule: nowhere: The folder of the pack cannot be read \(ENOENT\)\./],
    [['check', clearance, '--format', 'yaml'], /Allowed choices are text, json/],
    [['check', clearance, '--fast'], /^ferrule: unknown option '--fast'/],
    [['trial', clearance, '--only', 'nope'], /^ferrule: there is no trial nope here\. There is all-inside, /],
    [['crank', clearance], /^ferrule: required option '--variant <name>' not specified/],
    [
      ['crank', clearance, '--variant', 'x'],
      /^ferrule: there is no variant x here\. There is marram-four\.$/m,
    ],
    [
      ['run', clearance],
      /^ferrule: a new job needs --procedure and --variant\. Procedures: set-clearances\. Variants: marram-four\.$/m,
    ],
    [
      ['run', clearance, '--procedure', 'x', '--variant', 'marram-four'],
      /no procedure x here\. There is set-clearances\.$/m,
    ],
    [
      ['run', clearance, '--procedure', 'adjust-inlet', '--variant', 'marram-four'],
      /^ferrule: adjust-inlet is no job of its own: it is only performed .* There is set-clearances\.$/m,
    ],
    [['run', clearance, '--job', 'x'], /^ferrule: --job needs --jobs/],
    [
      ['run', clearance, '--jobs', 'nowhere', '--job', 'x'],
      /^ferrule: there is no job x in nowhere\. There is none\.$/m,
    ],
    [['run', clearance, '--jobs', 'nowhere', '--job', '../../x'], /^ferrule: there is no job/],
    [
      [
        'run',
        clearance,
        '--procedure',
        'set-clearances',
        '--variant',
        'marram-four',
        '--answers',
        'nowhere.yaml',
      ],
      /^ferrule: the answers nowhere\.yaml cannot be read \(ENOENT\)\. Nothing of this name is there\./m,
    ],
  ];
  it.each(cases)('%j', (words, reason) => {
    const { exitCode, stdout, stderr } = ferrule(words);
    expect(stderr).toMatch(reason);
    expect(stderr).not.toMatch(/\n {4}at |node:internal/);
    expect(stdout).toBe('');
    expect(exitCode).toBe(2);
  });
});

/** A text without its line breaks. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('help', () => {
  it('lists the verbs for those who call nothing, and defers', () => {
    const { exitCode, stderr } = ferrule([]);
    expect(exitCode).toBe(2);
    for (const verb of ['check', 'trial', 'run', 'crank', 'sheet'])
      expect(stderr).toMatch(new RegExp(`^  ${verb} `, 'm'));
    expect(stderr).not.toMatch(/^ {2}demo/m);
    expect(flat(stderr)).toContain(deferral);
  });
  it.each(['check', 'trial', 'run', 'crank', 'sheet'])(
    'of %s teaches by an example that is a call of it',
    (verb) => {
      const { exitCode, stdout } = ferrule([verb, '--help']);
      expect(exitCode).toBe(0);
      expect(stdout).toMatch(new RegExp(`^Example:\\n  npx --no -- ferrule ${verb} specs/`, 'm'));
      expect(flat(stdout)).toContain(deferral);
    },
  );
  it('names the version', () => {
    expect(ferrule(['--version'])).toEqual({ exitCode: 0, stdout: '0.1.0\n', stderr: '' });
  });
});

it('writes no colour and no control characters into a pipe', () => {
  const { stdout } = ferrule(['crank', clearance, '--variant', 'marram-four']);
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be found
  expect(stdout).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
});
