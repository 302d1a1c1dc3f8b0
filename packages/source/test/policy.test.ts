import { readFileSync } from 'node:fs';
import { makeKeyPair } from '@ferrule/signing';
import { readPolicy } from '@ferrule/source';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { describe, expect, test } from 'vitest';

const [lead, foreman] = [makeKeyPair(), makeKeyPair()];
const good = `format: ferrule-policy-1
title: Who releases what
keys:
  lead: { holder: service lead, key: '${lead.keyId}' }
  foreman: { holder: foreman, key: '${foreman.keyId}' }
packs:
  '*': { authors: [lead], approvers: [foreman] }
  valve-*: { authors: [foreman], approvers: [lead] }
jobs: [foreman]
x-note: of our own
`;

const schema: unknown = JSON.parse(
  readFileSync(new URL('../schema/policy.schema.json', import.meta.url), 'utf8'),
);
const ajv = new Ajv2020({ strict: false });
const bySchema = (text: string): boolean =>
  typeof schema === 'object' &&
  schema !== null &&
  ajv.validate(schema, load(text, { schema: FAILSAFE_SCHEMA }));

test('a policy is read', () => {
  const { policy, diagnostics } = readPolicy(good, 'policy.yaml');
  expect(diagnostics).toEqual([]);
  expect([...(policy?.keys ?? [])].map(([name, one]) => [name, one.holder, one.key.id])).toEqual([
    ['lead', 'service lead', lead.keyId],
    ['foreman', 'foreman', foreman.keyId],
  ]);
  expect(policy?.packs.map((one) => one.pattern)).toEqual(['*', 'valve-*']);
  expect(policy?.jobs).toEqual(['foreman']);
  expect(bySchema(good)).toBe(true);
});

test('a key may be given as PEM, and jobs may be left out', () => {
  const text = good
    .replace(`'${lead.keyId}'`, JSON.stringify(lead.publicKey))
    .replace('jobs: [foreman]\n', '');
  const { policy } = readPolicy(text, 'policy.yaml');
  expect(policy?.keys.get('lead')?.key.id).toBe(lead.keyId);
  expect(policy?.jobs).toEqual([]);
  expect(bySchema(text)).toBe(true);
});

/** Each mistake, what it is called, where it stands, and whether the schema for editors sees it as well. */
const mistakes: readonly (readonly [string, string, string, string, string, 'seen' | 'unseen'])[] = [
  ['another version', 'policy-1', 'policy-2', 'wrong-value', '/format', 'seen'],
  ['a key that is not known', 'title:', 'tittle:', 'unknown-key', '/tittle', 'seen'],
  ['no keys', 'keys:', 'x-keys:', 'missing-key', '/keys', 'seen'],
  ['no packs', 'packs:', 'x-packs:', 'missing-key', '/packs', 'seen'],
  ['no holder', 'holder: service lead, ', '', 'missing-key', '/keys/lead/holder', 'seen'],
  ['an empty holder', 'holder: service lead', "holder: ' '", 'wrong-form', '/keys/lead/holder', 'seen'],
  ['no approvers', ', approvers: [foreman]', '', 'missing-key', '/packs/*/approvers', 'seen'],
  [
    'nobody who approves',
    'approvers: [foreman]',
    'approvers: []',
    'wrong-value',
    '/packs/*/approvers',
    'seen',
  ],
  ['a name that is no list', 'authors: [lead]', 'authors: lead', 'wrong-form', '/packs/*/authors', 'seen'],
  [
    'a name twice',
    'authors: [lead]',
    'authors: [lead, lead]',
    'duplicate-name',
    '/packs/*/authors/1',
    'seen',
  ],
  [
    'somebody unknown',
    'approvers: [foreman]',
    'approvers: [forman]',
    'unknown-name',
    '/packs/*/approvers/0',
    'unseen',
  ],
  ['somebody unknown for jobs', 'jobs: [foreman]', 'jobs: [deputy]', 'unknown-name', '/jobs/0', 'unseen'],
  ['a * in the middle', 'valve-*', "'va*ve'", 'bad-key', '/packs/va*ve', 'seen'],
  ['a pattern of another language', 'valve-*', "'.+'", 'bad-key', '/packs/.+', 'seen'],
  ['a pattern in capitals', 'valve-*', "'Valve-*'", 'bad-key', '/packs/Valve-*', 'seen'],
  ['a pattern with a path', 'valve-*', "'../*'", 'bad-key', '/packs/..~1*', 'seen'],
  ['a name of a key in capitals', '  foreman: {', '  Foreman: {', 'bad-key', '/keys/Foreman', 'seen'],
  ['half a key', lead.keyId, lead.keyId.slice(0, -2), 'wrong-value', '/keys/lead/key', 'seen'],
  [
    'a private key',
    `'${lead.keyId}'`,
    JSON.stringify(lead.privateKey),
    'wrong-value',
    '/keys/lead/key',
    'seen',
  ],
  ['one key under two names', foreman.keyId, lead.keyId, 'duplicate-name', '/keys/foreman/key', 'unseen'],
  [
    'one who would approve his own work',
    'authors: [lead], approvers: [foreman]',
    'authors: [lead], approvers: [lead]',
    'wrong-value',
    '/packs/*/approvers',
    'unseen',
  ],
  [
    'one holder of both keys',
    'holder: foreman',
    'holder: Service  LEAD',
    'wrong-value',
    '/packs/*/approvers',
    'unseen',
  ],
  [
    'a rule that is a text',
    '{ authors: [lead], approvers: [foreman] }',
    'lead',
    'wrong-form',
    '/packs/*',
    'seen',
  ],
];

describe('what is wrong is said where it stands, and then there is no policy', () => {
  test.each(mistakes)('%s', (_, from, to, code, pointer, inSchema) => {
    const text = good.replace(from, to);
    expect(text).not.toBe(good);
    const { policy, diagnostics } = readPolicy(text, 'policy.yaml');
    expect(policy).toBeUndefined();
    const found = diagnostics.find((one) => one.code === code && one.pointer === pointer);
    expect(found, JSON.stringify(diagnostics)).toBeDefined();
    expect(found?.span?.file).toBe('policy.yaml');
    expect(bySchema(text)).toBe(inSchema === 'unseen');
  });

  test.each([
    ['a rule for one pattern twice', good.replace('  valve-*:', "  '*':"), 'duplicate-key'],
    ['no YAML', 'keys: [', 'yaml-syntax'],
    ['nothing', '', 'empty-file'],
    ['a list', '- lead', 'not-a-mapping'],
    ['an anchor that closes in on itself', 'keys: &a { b: *a }', 'bad-alias'],
    ['a reserved key', `${good}__proto__: {}\n`, 'forbidden-key'],
    ['a character that cannot be seen', good.replace('service lead', 'service\u202e lead'), 'bad-character'],
    ['bytes that are no UTF-8', Uint8Array.of(0x61, 0xff), 'invalid-utf8'],
  ])('%s', (_, text, code) => {
    const { policy, diagnostics } = readPolicy(text, 'policy.yaml');
    expect(policy).toBeUndefined();
    expect(diagnostics.map((one) => one.code)).toContain(code);
  });

  test('of a private key nothing is repeated', () => {
    const { diagnostics } = readPolicy(good.replace(`'${lead.keyId}'`, JSON.stringify(lead.privateKey)), 'p');
    const secret = lead.privateKey.split('\n')[1] ?? '';
    expect(JSON.stringify(diagnostics)).not.toContain(secret.slice(20, 40));
  });
});
