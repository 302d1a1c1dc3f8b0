import {
  addSignature,
  areTwoPersons,
  digestOf,
  type Envelope,
  makeKeyPair,
  type Policy,
  type PolicyRule,
  PrivateKey,
  type PublicKey,
  parsePrivateKey,
  type ReleaseState,
  releaseRecord,
  releaseState,
  releaseType,
  releaseWords,
  shortKeyId,
  sign,
  signRelease,
} from '@ferrule/signing';
import { describe, expect, test } from 'vitest';

const newKey = (): PrivateKey => {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if (!(key instanceof PrivateKey)) throw new Error(key.wrong);
  return key;
};
const [lead, foreman, deputy, stranger] = [newKey(), newKey(), newKey(), newKey()];
const statement = {
  of: 'pack',
  name: 'marram-unit-pumps',
  revision: '1.0.0',
  digest: digestOf('bundle'),
  files: { 'pack.yaml': digestOf('pack') },
  libraries: [{ name: 'harbour-workshop', revision: '1.0.0', digest: digestOf('library') }],
  at: '2026-03-02T09:00:00Z',
} as const;
const released = signRelease(statement, lead);

const named = (holders: Readonly<Record<string, readonly [string, PublicKey]>>): Policy['keys'] =>
  new Map(Object.entries(holders).map(([name, [holder, key]]) => [name, { name, holder, key }]));
const policyOf = (packs: readonly PolicyRule[], keys?: Policy['keys']): Policy => ({
  keys:
    keys ??
    named({
      lead: ['service lead', lead.publicKey],
      foreman: ['foreman', foreman.publicKey],
      deputy: ['deputy foreman', deputy.publicKey],
    }),
  packs,
  jobs: [],
});
const rule = (pattern: string, authors: readonly string[], approvers: readonly string[]): PolicyRule => ({
  ...{ pattern, authors, approvers },
});
const usual = policyOf([rule('*', ['lead'], ['foreman'])]);

function signed(state: ReleaseState): Extract<ReleaseState, { readonly state: 'signed' }> {
  if (state.state !== 'signed') throw new Error(releaseWords(state));
  return state;
}

describe('without a policy', () => {
  test('nothing is unsigned', () => {
    expect(releaseState(undefined)).toEqual({ state: 'unsigned' });
    expect(releaseState(undefined, usual)).toEqual({ state: 'unsigned' });
    expect(releaseWords(releaseState(undefined))).toBe('unsigned');
    expect(releaseWords(undefined)).toBe('unsigned');
  });

  test('it says which key, and that no policy says whose', () => {
    const state = signed(releaseState(released));
    expect(state).toMatchObject({ statement, author: { id: lead.id }, approved: false, underPolicy: false });
    expect(state).not.toHaveProperty('outside');
    expect(releaseWords(state)).toBe(`signed by key ${shortKeyId(lead.id)}, not approved under a policy`);
    const both = signed(releaseState(addSignature(released, foreman)));
    expect(both.approved).toBe(false);
    expect(releaseWords(both)).toContain(`and key ${shortKeyId(foreman.id)}`);
  });
});

describe('under a policy', () => {
  const outside = (envelope: Envelope, policy: Policy): string | undefined => {
    const state = signed(releaseState(envelope, policy));
    expect(state.underPolicy).toBe(state.outside === undefined);
    expect(state.approved).toBe(state.underPolicy);
    expect(state.approver === undefined).toBe(!state.approved);
    return state.outside;
  };
  const approved = addSignature(released, foreman);

  test('signed and approved by those who may', () => {
    expect(outside(approved, usual)).toBeUndefined();
    const state = releaseState(approved, usual);
    expect(releaseWords(state)).toBe('signed by lead (service lead), approved by foreman (foreman)');
    expect(releaseRecord(state)).toEqual({
      signedBy: ['lead (service lead)', 'foreman (foreman)'],
      approved: true,
    });
    expect(releaseWords(releaseRecord(state))).toBe(releaseWords(state));
  });

  test('not yet approved', () => {
    expect(outside(released, usual)).toBe('The policy wants the approval of foreman.');
    expect(releaseWords(releaseState(released, usual))).toBe(
      'signed by lead (service lead), not approved under a policy (The policy wants the approval of foreman)',
    );
  });

  test.each<readonly [string, Envelope, Policy, string]>([
    [
      'an author whom it does not know',
      addSignature(signRelease(statement, stranger), foreman),
      usual,
      'does not know the key',
    ],
    [
      'an author who only may approve',
      addSignature(signRelease(statement, foreman), lead),
      usual,
      'does not let foreman release',
    ],
    [
      'an approver whom it does not know',
      addSignature(released, stranger),
      usual,
      'wants the approval of foreman',
    ],
    ['an approver who may not', addSignature(released, deputy), usual, 'deputy may not approve it'],
    [
      'no rule for this pack',
      approved,
      policyOf([rule('valve-*', ['lead'], ['foreman'])]),
      'no rule for marram-unit-pumps',
    ],
    ['no rule at all', approved, policyOf([]), 'no rule for'],
    [
      'one who may do both and signs alone',
      released,
      policyOf([rule('*', ['lead'], ['lead', 'foreman'])]),
      'wants the approval of lead or foreman',
    ],
    [
      'one key under two names',
      released,
      policyOf(
        [rule('*', ['lead'], ['second'])],
        named({ lead: ['service lead', lead.publicKey], second: ['foreman', lead.publicKey] }),
      ),
      'wants the approval of second',
    ],
    [
      'two keys of one holder',
      approved,
      policyOf(
        [rule('*', ['lead'], ['foreman'])],
        named({ lead: ['Service lead', lead.publicKey], foreman: [' service  LEAD', foreman.publicKey] }),
      ),
      'nobody approves their own work',
    ],
    [
      'two keys of one holder in letters that look the same',
      approved,
      policyOf(
        [rule('*', ['lead'], ['foreman'])],
        named({ lead: ['service lead', lead.publicKey], foreman: ['ｓervice lead', foreman.publicKey] }),
      ),
      'nobody approves their own work',
    ],
  ])('%s is not released', (_, envelope, policy, says) => {
    expect(outside(envelope, policy)).toContain(says);
  });

  test('the narrowest rule decides alone', () => {
    const rules = [
      rule('*', ['lead'], ['foreman']),
      rule('marram-*', ['lead'], ['deputy']),
      rule('marram-unit-pumps', ['deputy'], ['foreman']),
    ];
    for (const order of [rules, [...rules].reverse()]) {
      expect(outside(approved, policyOf(order))).toContain('does not let lead release');
      expect(outside(approved, policyOf(order.filter((one) => !one.pattern.includes('unit'))))).toContain(
        'foreman may not approve it',
      );
    }
    const byDeputy = addSignature(signRelease(statement, deputy), foreman);
    expect(outside(byDeputy, policyOf(rules))).toBeUndefined();
  });

  test.each(['marram', 'marram-unit-pump', 'unit-pumps', 'marram-unit-pumps-2', 'arram*', 'Marram*'])(
    'the pattern %s covers another pack, and not this one',
    (pattern) => {
      expect(outside(approved, policyOf([rule(pattern, ['lead'], ['foreman'])]))).toContain('no rule for');
    },
  );

  test('a signature by somebody else beside those that count is named and takes nothing away', () => {
    const state = signed(releaseState(addSignature(approved, stranger), usual));
    expect(state).toMatchObject({
      approved: true,
      approver: { name: 'foreman' },
      others: [{ id: stranger.id }],
    });
  });
});

test('two persons have two keys and are two holders', () => {
  const [one, other, again] = [lead, foreman, lead].map(({ publicKey: key }, index) => ({
    ...{ name: `key-${index}`, holder: `holder ${index}`, key },
  }));
  if (one === undefined || other === undefined || again === undefined) throw new Error('no keys');
  expect(areTwoPersons(one, other)).toBe(true);
  expect(areTwoPersons(one, again)).toBe(false);
  expect(areTwoPersons(one, { ...other, holder: 'Holder 0' })).toBe(false);
});

describe('a release that is broken', () => {
  const say = (state: ReleaseState): string => (state.state === 'broken' ? state.fault : state.state);
  test('no envelope, a changed one, another type', () => {
    expect(say(releaseState({}))).toBe('no-envelope');
    expect(say(releaseState({ ...released, payload: `AAAA${released.payload.slice(4)}` }))).toBe(
      'bad-signature',
    );
    expect(say(releaseState(sign('application/json', {}, [lead])))).toBe('other-type');
    expect(releaseWords(releaseState({}))).toMatch(/^NOT AS RELEASED\. /);
  });

  const whole = { ...statement, format: 'ferrule-release-1', author: lead.id };
  test.each<readonly [string, unknown]>([
    ['no map', []],
    ['another version', { ...whole, format: 'ferrule-release-2' }],
    ['another kind', { ...whole, of: 'job' }],
    ['no digest', { ...whole, digest: 'sha256:1' }],
    ['a file without a digest', { ...whole, files: { 'pack.yaml': 'x' } }],
    ['a library without a digest', { ...whole, libraries: [{ name: 'a', revision: '1.0.0' }] }],
    ['an author who is no key', { ...whole, author: 'lead' }],
  ])('signed, and no release: %s', (_, payload) => {
    expect(say(releaseState(sign(releaseType, payload, [lead])))).toBe('no-release');
  });

  test('without the signature of the author that it names', () => {
    expect(say(releaseState(sign(releaseType, whole, [foreman])))).toBe('other-author');
  });
});

test('releasing twice with the same key and time gives the same bytes', () => {
  expect(signRelease(statement, lead)).toEqual(released);
});
