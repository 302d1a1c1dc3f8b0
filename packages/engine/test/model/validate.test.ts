import { describe, expect, test } from 'vitest';
import { validate } from '../../src/validate.ts';
import { length, limits, packOf, type Written } from '../small-pack.ts';

const step: Written = { step: 'begin', do: 'Begin.' };
const withStep = (more: Written): Written => packOf({ steps: [{ ...step, ...more }] });
const told = (document: unknown): readonly string[] =>
  validate(document).diagnostics.map(({ code, pointer }) => `${code} ${pointer}`);
const remedies = (document: unknown): readonly (string | undefined)[] =>
  validate(document).diagnostics.map((one) => one.remedy);

test('a pack that fits is handed back as it is', () => {
  const document = packOf({ steps: [step] });
  expect(validate(document)).toEqual({ pack: document, diagnostics: [] });
});

const at = '/procedures/main/steps/0';
describe('one message for one cause, at the place of the cause', () => {
  test.each<readonly [string, unknown, readonly string[]]>([
    ['no document', null, ['wrong-form ']],
    ['a list', [], ['wrong-form ']],
    ['another format', { ...packOf({ steps: [step] }), format: '2' }, ['wrong-value /format']],
    ['a number', { ...packOf({ steps: [step] }), revision: 1 }, ['wrong-form /revision']],
    ['a bad revision', { ...packOf({ steps: [step] }), revision: '1.0' }, ['wrong-value /revision']],
    ['an unknown section', { ...packOf({ steps: [step] }), hazzards: {} }, ['unknown-key /hazzards']],
    [
      'a bad name',
      packOf({ steps: [step] }, { roles: { Lead: { title: 'x' } } }),
      ['wrong-value /roles/Lead'],
    ],
    ['no steps', packOf({}), ['missing-key /procedures/main']],
    ['an empty list of steps', packOf({ steps: [] }), ['wrong-form /procedures/main/steps']],
    [
      'a misspelt verb',
      withStep({ tigthen: { joint: 'a', stages: ['slacken'] } }),
      [`unknown-key ${at}/tigthen`],
    ],
    ['a text for a map', withStep({ tighten: 'the clamp' }), [`wrong-form ${at}/tighten`]],
    ['a map for a text', withStep({ do: { say: 'it' } }), [`wrong-form ${at}/do`]],
    [
      'no yes',
      withStep({ identify: { part: 'pump', as: 'fitted', 'accept-new': 'no' } }),
      [`wrong-value ${at}/identify/accept-new`],
    ],
    [
      'a value that is none of a list',
      withStep({ identify: { part: 'pump', as: 'fited' } }),
      [`wrong-value ${at}/identify/as`],
    ],
    [
      'a missing key of a rework',
      withStep({
        read: 'gap',
        judge: 'l',
        'if-nonconforming': { rework: [step], 'resume-at': 'begin', exhausted: 'h' },
      }),
      [`missing-key ${at}/if-nonconforming`],
    ],
    [
      'a bad count',
      withStep({
        read: 'gap',
        judge: 'l',
        'if-nonconforming': { rework: [step], 'resume-at': 'begin', attempts: '0', exhausted: 'h' },
      }),
      [`wrong-value ${at}/if-nonconforming/attempts`],
    ],
    [
      'one side only',
      withStep({ judge: 'l', 'if-nonconforming': { 'when-high': { hold: 'h' } } }),
      [`missing-key ${at}/if-nonconforming`],
    ],
    [
      'a fault deep in a block',
      packOf({ steps: [{ block: 'b', steps: [step, { step: 'next', reed: 'gap' }] }] }),
      ['unknown-key /procedures/main/steps/0/steps/1/reed'],
    ],
    ['a node that says nothing of what it is', packOf({ steps: [{ title: 'x' }] }), [`wrong-form ${at}`]],
    [
      'a condition that says nothing',
      withStep({ 'only-if': { stat: { a: 'b' } } }),
      [`wrong-form ${at}/only-if`],
    ],
    ['a change without from', withStep({ changes: { pin: ['in'] } }), [`wrong-form ${at}/changes/pin`]],
    [
      'limits of no form',
      packOf({ steps: [step], tolerances: { l: { of: 'gap', source: 's' } } }),
      ['wrong-form /procedures/main/tolerances/l'],
    ],
    [
      'limits of two forms',
      packOf({ steps: [step], tolerances: { l: limits('gap', { 'at-most': '3 mm' }) } }),
      ['wrong-form /procedures/main/tolerances/l'],
    ],
    [
      'an interlock of no form',
      packOf({ steps: [step] }, { interlocks: [{ law: 'l', says: 's', forbid: 'turn-crank' }] }),
      ['wrong-form /interlocks/0'],
    ],
    [
      'an unknown kind',
      packOf({ steps: [step], readings: { gap: length({ quantity: 'lenght' }) } }),
      ['wrong-value /procedures/main/readings/gap/quantity'],
    ],
    [
      'a value twice',
      packOf({ steps: [step] }, { states: { s: { is: ['a', 'a'], starts: 'a', ends: 'a' } } }),
      ['duplicate-name /states/s/is'],
    ],
    [
      'a release of no form',
      packOf({ steps: [step] }, { holds: { h: { text: 't', release: [{ consession: 'lead' }] } } }),
      ['wrong-form /holds/h/release/0'],
    ],
  ])('%s', (_, document, expected) => {
    expect(told(document)).toEqual(expected);
  });

  const tolerance = (more: Written): Written => packOf({ steps: [step], tolerances: { l: more } });
  const forms = 'nominal with deviation; nominal with plus with minus; between; at-least; at-most.';
  test.each<readonly [string, Written, string, string]>([
    [
      'limits of no form',
      tolerance({ of: 'gap', source: 's' }),
      `None of the keys that say what this is: ${forms}`,
      'Write one of them.',
    ],
    [
      'limits of half a form',
      tolerance({ of: 'gap', nominal: '1 mm', source: 's' }),
      `None of the keys that say what this is: ${forms}`,
      'Write one of them.',
    ],
    [
      'a lower and an upper limit',
      tolerance({ of: 'gap', 'at-least': '1 mm', 'at-most': '2 mm', source: 's' }),
      `More than one of these stands here, at-least and at-most: ${forms}`,
      'For both sides write between: [lowest, highest].',
    ],
    [
      'limits of two forms',
      tolerance({ of: 'gap', nominal: '1 mm', deviation: '1 mm', 'at-most': '2 mm', source: 's' }),
      `More than one of these stands here, nominal with deviation and at-most: ${forms}`,
      'Keep one of them.',
    ],
    [
      'no source',
      tolerance({ of: 'gap', 'at-most': '2 mm' }),
      'The key source is missing here.',
      'Say where the values are from: source: workshop notes, table 7-2.',
    ],
    [
      'no text',
      packOf({ steps: [step] }, { hazards: { heat: { signal: 'warning' } } }),
      'The key text is missing here.',
      'Say what a person is to read: text: The engine is cold.',
    ],
    [
      'true for yes',
      packOf({ steps: [step] }, { hazards: { heat: { signal: 'warning', text: 't', acknowledge: 'true' } } }),
      '"true" stands here, where only yes may.',
      'Write yes; where it does not apply, leave the key out.',
    ],
  ])('%s says what to write', (_, document, message, remedy) => {
    expect(validate(document).diagnostics).toMatchObject([{ message, remedy }]);
  });

  test('two causes are two messages', () => {
    const document = { ...withStep({ reed: 'gap', jugde: 'l' }), titel: 'x' };
    expect(told(document)).toEqual(
      expect.arrayContaining([`unknown-key ${at}/reed`, `unknown-key ${at}/jugde`, 'unknown-key /titel']),
    );
    expect(told(document)).toHaveLength(3);
  });
});

describe('what was meant', () => {
  test.each<readonly [string, unknown, string]>([
    ['a key of a step', withStep({ 'if-nonconformig': { hold: 'h' } }), 'Did you mean if-nonconforming?'],
    ['a section', { ...packOf({ steps: [step] }), hazzards: {} }, 'Did you mean hazards?'],
    ['a value', withStep({ identify: { part: 'pump', as: 'fited' } }), 'Did you mean fitted?'],
    [
      'a kind',
      packOf({ steps: [step], readings: { gap: length({ quantity: 'lenght' }) } }),
      'Did you mean length?',
    ],
    ['a key that says the form', withStep({ 'only-if': { stat: { a: 'b' } } }), 'Did you mean state'],
    [
      'a release',
      packOf({ steps: [step] }, { holds: { h: { text: 't', release: [{ consession: 'lead' }] } } }),
      'Did you mean concession',
    ],
  ])('%s', (_, document, expected) => {
    expect(remedies(document).join(' ')).toContain(expected);
  });
});

test('a union is told apart by its key: a choice with a bad case is a bad case, not five bad nodes', () => {
  const bad = { choose: 'which', cases: [{ when: { state: {} }, steps: [step] }] };
  expect(told(packOf({ steps: [bad] }))).toEqual(['wrong-form /procedures/main/steps/0/cases/0/when/state']);
});
