import { type EnvelopeFault, verifyEnvelope } from './envelope.ts';
import { type KeyId, shortKeyId } from './key-id.ts';
import { areTwoPersons, type Policy, type PolicyKey, policyKeyOf, ruleFor } from './policy.ts';
import { type ReleaseStatement, releaseStatementOf, releaseType } from './release-statement.ts';

/** A key that signed; with its name and holder where a policy names it. */
export interface Signer {
  readonly id: KeyId;
  readonly name?: string;
  readonly holder?: string;
}

/** Whether what somebody works by was released, and by whom. */
export type ReleaseState =
  | { readonly state: 'unsigned' }
  | {
      readonly state: 'signed';
      readonly statement: ReleaseStatement;
      readonly author: Signer;
      /** Whoever approved it, in whose name the policy lets that be done. Without a policy nobody can be told apart. */
      readonly approver?: Signer;
      /** Further keys whose signatures are good. */
      readonly others: readonly Signer[];
      readonly approved: boolean;
      /** Whether a policy was at hand that lets this author and this approver release it. */
      readonly underPolicy: boolean;
      /** What keeps it from being released under the policy, in one sentence; undefined without a policy. */
      readonly outside?: string;
      /** Whether that is no more than an approval which is still to come. */
      readonly awaitsApproval?: true;
    }
  | {
      readonly state: 'broken';
      readonly fault: EnvelopeFault | 'no-release' | 'other-author' | 'not-as-released';
      readonly message: string;
    };

/** Beside an unsigned pack nothing is to be said. */
export const unsigned: ReleaseState = { state: 'unsigned' };

/**
 * What an envelope says about a release, held against a policy where there is one; `envelope` may be anything that was
 * parsed, and undefined means that there is none. Whether the files are those that were released is for whoever reads them.
 */
export function releaseState(envelope: unknown, policy?: Policy): ReleaseState {
  if (envelope === undefined) return unsigned;
  const read = verifyEnvelope(envelope, releaseType);
  if ('wrong' in read) return { state: 'broken', fault: read.wrong, message: read.message };
  const statement = releaseStatementOf(read.payload);
  if (statement === undefined)
    return {
      state: 'broken',
      fault: 'no-release',
      message: 'What is signed is no release of a version that is known here.',
    };
  if (!read.signedBy.includes(statement.author))
    return {
      state: 'broken',
      fault: 'other-author',
      message: 'It lacks the signature of the author that it names.',
    };
  const others = read.signedBy.filter((id) => id !== statement.author);
  return { state: 'signed', statement, ...judged(statement, others, policy) };
}

type Judged = Omit<Extract<ReleaseState, { readonly state: 'signed' }>, 'state' | 'statement'>;

function judged(
  { author, name }: ReleaseStatement,
  others: readonly KeyId[],
  policy: Policy | undefined,
): Judged {
  const signer = (id: KeyId): Signer => {
    const known = policy && policyKeyOf(policy, id);
    return known === undefined ? { id } : { id, name: known.name, holder: known.holder };
  };
  const signers = { author: signer(author), others: others.map(signer), approved: false, underPolicy: false };
  if (policy === undefined) return signers;
  const rule = ruleFor(policy, name);
  if (rule === undefined) return { ...signers, outside: `The policy has no rule for ${name}.` };
  const by = policyKeyOf(policy, author);
  if (by === undefined) return { ...signers, outside: 'The policy does not know the key of its author.' };
  if (!rule.authors.includes(by.name))
    return { ...signers, outside: `The policy does not let ${by.name} release ${name} as its author.` };
  const further = others.flatMap((id) => policyKeyOf(policy, id) ?? []);
  const approver = further.find((one) => rule.approvers.includes(one.name) && areTwoPersons(by, one));
  if (approver === undefined)
    return {
      ...{ ...signers, outside: notApproved(rule.approvers, further, by) },
      ...(others.length === 0 ? { awaitsApproval: true } : {}),
    };
  const rest = signers.others.filter((one) => one.id !== approver.key.id);
  return { ...signers, approver: signer(approver.key.id), others: rest, approved: true, underPolicy: true };
}

function notApproved(approvers: readonly string[], further: readonly PolicyKey[], author: PolicyKey): string {
  const same = further.find((one) => approvers.includes(one.name) && !areTwoPersons(author, one));
  if (same !== undefined)
    return `${same.name} and its author ${author.name} have one holder, and nobody approves their own work.`;
  const may = `The policy wants the approval of ${approvers.join(' or ')}.`;
  const [other] = further;
  return other === undefined ? may : `${other.name} may not approve it. ${may}`;
}

/** What a job keeps of how its pack was released when it began. */
export interface ReleaseRecord {
  /** Whoever signed, the author first and then the approver, each in words; nobody where it was unsigned. */
  readonly signedBy: readonly string[];
  /** Whether a policy was at hand by which that was released and approved. */
  readonly approved: boolean;
  /** The same of the overlay that was laid over it, where there was one. */
  readonly overlay?: { readonly signedBy: readonly string[]; readonly approved: boolean };
}

type Recorded = Omit<ReleaseRecord, 'overlay'>;

const nobody: Recorded = { signedBy: [], approved: false };

const recorded = (state: ReleaseState): Recorded =>
  state.state === 'signed'
    ? {
        signedBy: [
          state.author,
          ...(state.approver === undefined ? [] : [state.approver]),
          ...state.others,
        ].map(signerWords),
        approved: state.approved,
      }
    : nobody;

/** What a job keeps of a release, and of that of its overlay; undefined where nothing is signed. */
export function releaseRecord(state: ReleaseState, overlay?: ReleaseState): ReleaseRecord | undefined {
  const record = recorded(state);
  const laid = overlay && recorded(overlay);
  if (record.signedBy.length === 0 && (laid?.signedBy.length ?? 0) === 0) return undefined;
  return laid === undefined ? record : { ...record, overlay: laid };
}

const signerWords = ({ id, name, holder }: Signer): string =>
  name === undefined ? `key ${shortKeyId(id)}` : `${name} (${holder})`;

/**
 * How something was released, in a few words that go behind its name and revision, on every screen, sheet and card. From
 * the state of what is read now, with that of the overlay, or from what a job kept when it began; undefined is unsigned.
 */
export function releaseWords(
  release: ReleaseState | ReleaseRecord | undefined,
  overlay?: ReleaseState,
): string {
  const words =
    release === undefined ? 'unsigned' : 'signedBy' in release ? recordWords(release) : stateWords(release);
  const laid =
    overlay !== undefined
      ? stateWords(overlay)
      : release !== undefined && 'signedBy' in release && release.overlay !== undefined
        ? recordWords(release.overlay)
        : undefined;
  return laid === undefined || (laid === 'unsigned' && words === 'unsigned')
    ? words
    : `${words}; overlay ${laid}`;
}

function stateWords(state: ReleaseState): string {
  switch (state.state) {
    case 'unsigned':
      return 'unsigned';
    case 'broken':
      return `NOT AS RELEASED. ${state.message}`;
    case 'signed': {
      const words = recordWords(recorded(state));
      return state.outside === undefined ? words : `${words} (${state.outside.replace(/\.$/, '')})`;
    }
  }
}

function recordWords({ signedBy, approved }: Recorded): string {
  const [author, second, ...more] = signedBy;
  if (author === undefined) return 'unsigned';
  if (approved) return `signed by ${author}, approved by ${second ?? ''}`;
  return `signed by ${[author, ...(second === undefined ? [] : [second]), ...more].join(' and ')}, not approved under a policy`;
}
