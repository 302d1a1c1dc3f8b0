import type { KeyId } from './key-id.ts';
import type { PublicKey } from './public-key.ts';

/** The version of the policy form that is read; any other is refused. */
export const policyFormat = 'ferrule-policy-1';

/** A key that a policy names, and who holds it. */
export interface PolicyKey {
  readonly name: string;
  /** A role, or whoever answers for the key. */
  readonly holder: string;
  readonly key: PublicKey;
}

/** Who may release what a pattern covers: names of keys. */
export interface PolicyRule {
  /** The name of a pack, library or overlay; or its start, with a * behind. */
  readonly pattern: string;
  readonly authors: readonly string[];
  readonly approvers: readonly string[];
}

/** Which keys count, and for what. `source.readPolicy` reads one; every name in it is that of one of its keys. */
export interface Policy {
  readonly keys: ReadonlyMap<string, PolicyKey>;
  readonly packs: readonly PolicyRule[];
  /** Names of the keys that may sign job records. */
  readonly jobs: readonly string[];
}

/** Whether a text is a pattern: a name, or the start of names and a * behind it. */
export const isPattern = (text: string): boolean => /^(?:[a-z][a-z0-9-]*\*?|\*)$/.test(text);

/**
 * The rule that decides about a name: the one that says it in full, or else the one that says most of it. Only one ever
 * decides, so a wide rule takes nothing away from a narrow one and adds nothing to it.
 */
export function ruleFor(policy: Policy, name: string): PolicyRule | undefined {
  let best: PolicyRule | undefined;
  for (const rule of policy.packs) {
    const { pattern } = rule;
    if (pattern === name) return rule;
    const isCovered = pattern.endsWith('*') && name.startsWith(pattern.slice(0, -1));
    if (isCovered && (best === undefined || pattern.length > best.pattern.length)) best = rule;
  }
  return best;
}

/** The key of a policy that has this id. */
export const policyKeyOf = (policy: Policy, id: KeyId): PolicyKey | undefined =>
  [...policy.keys.values()].find((one) => one.key.id === id);

/** The keys that may sign job records under a policy. */
export const jobKeys = (policy: Policy): readonly PublicKey[] =>
  policy.jobs.flatMap((name) => policy.keys.get(name)?.key ?? []);

/** Holders are the same where only capitals, spaces or the form of their letters tell them apart. */
const holderOf = ({ holder }: PolicyKey): string =>
  holder.normalize('NFKC').toLowerCase().replace(/\s+/g, ' ').trim();

/** Whether two keys are of two persons: other keys, with other holders. One person may have several keys, and is one. */
export const areTwoPersons = (one: PolicyKey, other: PolicyKey): boolean =>
  one.key.id !== other.key.id && holderOf(one) !== holderOf(other);
