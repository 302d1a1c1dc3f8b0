import type { Diagnostic } from '@ferrule/engine';
import {
  type Digest,
  type KeyId,
  type PublicKey,
  type ReleaseState,
  readPublicKey,
  releaseWords,
} from '@ferrule/signing';
import { privateKeysIn, type Releasable, readReleasable } from '@ferrule/source';
import { callFault, type Faulty } from '../pack/open-pack.ts';
import { policyFor } from '../pack/policy-for.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';

export interface VerifyCall {
  readonly policy?: string;
  readonly key?: readonly string[];
  readonly expect?: string;
  readonly format: Format;
}

/** Says whether a folder is as it was signed, by whom, and what is against it. */
export async function verifyFolder(folder: string, call: VerifyCall): Promise<ExitCode> {
  const keys = keysOf(call.key ?? []);
  if ('exitCode' in keys) return keys.exitCode;
  const expect = expected(call.expect);
  if (expect !== undefined && 'exitCode' in expect) return expect.exitCode;
  if (call.policy !== undefined && keys.length > 0)
    return callFault('either --policy or --key says whose signatures count.').exitCode;
  const found = keys.length > 0 ? {} : await policyFor(folder, call.policy, call.format);
  if ('exitCode' in found) return found.exitCode;
  const read = await readReleasable(folder, found.policy);
  if (read === undefined)
    return callFault(`${folder} is no folder of a pack, a library or an overlay.`).exitCode;
  if (!('named' in read)) {
    if (call.format === 'json') sayJson({ folder, holds: false, diagnostics: read.diagnostics });
    else for (const one of read.diagnostics) say(writeDiagnostic(folder, one));
    return 1;
  }
  const against = [...whatIsWrong(read, keys, call.expect)];
  const diagnostics = [
    ...read.release.diagnostics,
    ...privateKeysIn(read.root, Object.keys(read.files)),
    ...read.diagnostics.filter((one) => one.severity === 'error'),
  ];
  const holds = against.length === 0 && diagnostics.length === 0;
  if (call.format === 'json')
    sayJson(describe(folder, read, { holds, against, diagnostics, policy: found.path }));
  else say(write(folder, read, { holds, against, diagnostics, policy: found.path, keys }));
  return holds ? 0 : 1;
}

/** The digest that was typed; undefined where none was. */
export function expected(typed: string | undefined): { readonly digest: Digest } | Faulty | undefined {
  if (typed === undefined) return undefined;
  return isDigest(typed)
    ? { digest: typed }
    : callFault('--expect is a digest: sha256: and 64 hexadecimal digits.');
}

const isDigest = (text: string): text is Digest => /^sha256:[0-9a-f]{64}$/.test(text);

/** The public keys that were named. */
export function keysOf(given: readonly string[]): readonly PublicKey[] | Faulty {
  const keys: PublicKey[] = [];
  for (const one of given) {
    const key = readPublicKey(one);
    if ('wrong' in key) return callFault(key.wrong);
    keys.push(key);
  }
  return keys;
}

const signersOf = (state: ReleaseState): readonly KeyId[] =>
  state.state === 'signed'
    ? [state.author, ...(state.approver === undefined ? [] : [state.approver]), ...state.others].map(
        (one) => one.id,
      )
    : [];

/** What keeps a folder whose files are as they were signed from being what was asked for. */
function* whatIsWrong(
  { release: { state }, digest }: Releasable,
  keys: readonly PublicKey[],
  expected: string | undefined,
): Generator<string> {
  if (state.state === 'unsigned') yield 'Nobody has signed it: there is no release.json in the folder.';
  if (state.state === 'signed') {
    const signers = signersOf(state);
    if (state.outside !== undefined) yield state.outside;
    if (keys.length > 0 && !keys.some((key) => key.id === state.author.id))
      yield 'Its author signed with none of the keys that were named.';
    for (const key of keys) if (!signers.includes(key.id)) yield `It lacks a signature by ${key.id}.`;
  }
  if (expected !== undefined && digest !== undefined && expected !== digest)
    yield `Its digest is not the one that was expected, ${expected}.`;
}

interface Found {
  readonly holds: boolean;
  readonly against: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
  readonly policy: string | undefined;
}

function describe(folder: string, { named, digest, release }: Releasable, found: Found) {
  const { state } = release;
  return {
    ...{ folder, ...named, digest, ...found, release: releaseWords(state), signedBy: signersOf(state) },
    ...(state.state === 'signed'
      ? { at: state.statement.at, approved: state.approved, underPolicy: state.underPolicy }
      : {}),
  };
}

function write(
  folder: string,
  { named: { of, name, revision }, title, digest, files, release: { state } }: Releasable,
  { holds, against, diagnostics, policy, keys }: Found & { readonly keys: readonly PublicKey[] },
): string {
  const count = Object.keys(files).length;
  const by =
    policy !== undefined
      ? `Held against the policy ${policy}.`
      : keys.length > 0
        ? `Held against the ${keys.length === 1 ? 'key that was' : 'keys that were'} named.`
        : 'Held against no policy and no key: this shows that nothing was changed since these keys signed, and not whose they are.';
  const signed =
    state.state === 'signed'
      ? [
          wrap(`signed ${state.statement.at} by its author's clock, with`, '  '),
          ...signersOf(state).map((id) => `    ${id}`),
        ]
      : [];
  return [
    ...diagnostics.map((one) => writeDiagnostic(folder, one)),
    ...(diagnostics.length > 0 ? [''] : []),
    wrap(`${title}, ${of} ${name} ${revision}`),
    ...(digest === undefined ? [] : [`  ${digest}`]),
    wrap(releaseWords(state), '  '),
    ...signed,
    ...against.map((one) => wrap(one, 'Against it: ', '  ')),
    ...(state.state === 'signed' ? [wrap(by)] : []),
    wrap(
      holds
        ? `It is as it was signed, in all ${count} ${count === 1 ? 'file' : 'files'}.`
        : 'It does not hold.',
    ),
    wrap(deferral),
  ].join('\n');
}
