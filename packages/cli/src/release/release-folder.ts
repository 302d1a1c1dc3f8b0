import { posix } from 'node:path';
import {
  addSignature,
  areTwoPersons,
  type Envelope,
  type Policy,
  type PrivateKey,
  policyKeyOf,
  releaseFile,
  releaseState,
  releaseWords,
  ruleFor,
  signRelease,
} from '@ferrule/signing';
import { notReleasable, type Releasable, readReleasable } from '@ferrule/source';
import { callFault } from '../pack/open-pack.ts';
import { policyFor } from '../pack/policy-for.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { callOf } from '../terminal/call.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { errorsIn } from './check-for-release.ts';
import { privateKeyIn } from './show-key.ts';
import { writeRelease } from './write-release.ts';

export interface ReleaseCall {
  readonly key: string;
  readonly approve?: true;
  readonly policy?: string;
  readonly overlay?: string;
  readonly at?: string;
  readonly format: Format;
}

/** Releases a pack or a library as its author, or approves what was released; with an overlay, that, checked over the pack. */
export async function releaseFolder(folder: string, call: ReleaseCall): Promise<ExitCode> {
  const at = call.at ?? `${new Date().toISOString().slice(0, 19)}Z`;
  if (!isTime(at))
    return callFault(`--at is a time in UTC, such as 2026-03-02T09:00:00Z, and not ${at}.`).exitCode;
  const key = privateKeyIn(call.key);
  if ('exitCode' in key) return key.exitCode;
  const found = await policyFor(folder, call.policy, call.format);
  if ('exitCode' in found) return found.exitCode;
  const { policy } = found;
  const meant = call.overlay ?? folder;
  const read = await readReleasable(meant, policy);
  if (read === undefined)
    return callFault(`${meant} is no folder of a pack, a library or an overlay.`).exitCode;
  if ('named' in read && read.named.of === 'overlay' && call.overlay === undefined)
    return callFault(`an overlay is released over its pack: name that, and --overlay ${meant}.`).exitCode;
  const errors =
    'named' in read
      ? [...(await errorsIn(folder, call.overlay, policy)), ...notReleasable(read)]
      : read.diagnostics;
  if (!('named' in read) || read.digest === undefined || errors.length > 0) {
    const all = errors.length > 0 || !('named' in read) ? errors : read.diagnostics;
    if (call.format === 'json') sayJson({ folder: meant, diagnostics: all });
    else {
      for (const one of all) say(writeDiagnostic(folder, one));
      say(wrap(`Nothing is signed: what is released has no errors. ${callOf('check', folder)} says more.`));
    }
    return 1;
  }
  const signed =
    call.approve === true ? approve(read, key, policy) : author(read, read.digest, key, policy, at);
  if ('refused' in signed) {
    complain(`ferrule: ${signed.refused}`);
    return 1;
  }
  const failed = writeRelease(read.root, signed.envelope);
  if (failed !== undefined) return callFault(failed).exitCode;
  tell(meant, read, signed.envelope, policy, call);
  return 0;
}

const isTime = (text: string): boolean =>
  /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/.test(text) && !Number.isNaN(Date.parse(text));

type Signed = { readonly envelope: Envelope } | { readonly refused: string };

/** The release by its author. What is released already is left alone: it is changed in a new revision. */
function author(
  { named, files, libraries, release }: Releasable,
  digest: NonNullable<Releasable['digest']>,
  key: PrivateKey,
  policy: Policy | undefined,
  at: string,
): Signed {
  if (release.state.state !== 'unsigned')
    return {
      refused: `${named.name} ${named.revision} is released already. What is to be otherwise becomes a new revision, in a folder of its own without ${releaseFile}.`,
    };
  if (policy !== undefined) {
    const rule = ruleFor(policy, named.name);
    const own = policyKeyOf(policy, key.id);
    if (rule === undefined) return { refused: `the policy has no rule for ${named.name}.` };
    if (own === undefined) return { refused: `the policy does not know this key, ${key.id}.` };
    if (!rule.authors.includes(own.name))
      return {
        refused: `the policy does not let ${own.name} release ${named.name}. It names ${rule.authors.join(', ')}.`,
      };
  }
  return { envelope: signRelease({ ...named, digest, files, libraries, at }, key) };
}

/** The release with the signature of whoever approves it: somebody else than its author. */
function approve({ named, release }: Releasable, key: PrivateKey, policy: Policy | undefined): Signed {
  const { state, envelope } = release;
  if (state.state === 'unsigned' || envelope === undefined)
    return { refused: `${named.name} ${named.revision} is not released yet. Its author does that first.` };
  if (state.state === 'broken') return { refused: `${named.name} ${named.revision}: ${releaseWords(state)}` };
  if (state.author.id === key.id)
    return { refused: 'this is the key of its author, and nobody approves their own work.' };
  if (policy === undefined) return { envelope: addSignature(envelope, key) };
  const rule = ruleFor(policy, named.name);
  const own = policyKeyOf(policy, key.id);
  const by = policyKeyOf(policy, state.author.id);
  if (rule === undefined) return { refused: `the policy has no rule for ${named.name}.` };
  if (own === undefined) return { refused: `the policy does not know this key, ${key.id}.` };
  if (!rule.approvers.includes(own.name))
    return {
      refused: `the policy does not let ${own.name} approve ${named.name}. It names ${rule.approvers.join(', ')}.`,
    };
  if (by === undefined || !rule.authors.includes(by.name))
    return { refused: state.outside ?? `the policy does not let its author release ${named.name}.` };
  if (!areTwoPersons(by, own))
    return {
      refused: `${own.name} and its author ${by.name} have one holder, and nobody approves their own work.`,
    };
  return { envelope: addSignature(envelope, key) };
}

/** What was signed, and what comes next. */
function tell(
  folder: string,
  { named, files, title, digest }: Releasable,
  envelope: Envelope,
  policy: Policy | undefined,
  { format, approve: isApproval, overlay }: ReleaseCall,
): void {
  const state = releaseState(envelope, policy);
  const words = releaseWords(state);
  if (format === 'json') {
    sayJson({
      folder,
      ...named,
      digest,
      files,
      release: words,
      signatures: envelope.signatures.map((one) => one.keyid),
    });
    return;
  }
  const { of, name, revision } = named;
  const count = Object.keys(files).length;
  const waits = isApproval !== true && (state.state !== 'signed' || !state.approved);
  const next =
    policy === undefined ? 'Somebody else can approve it' : 'Next it is approved, by somebody else';
  say(
    [
      wrap(`${title}, ${of} ${name} ${revision}: ${words}.`),
      `${digest ?? ''}`,
      wrap(
        `${count} ${count === 1 ? 'file is' : 'files are'} frozen by ${posix.join(folder.replaceAll('\\', '/'), releaseFile)}, which goes wherever they go.`,
      ),
      ...(waits && overlay === undefined
        ? [wrap(`${next}:`), `  ${callOf('release', folder, '--approve', '--key', 'THEIR-KEY')}`]
        : []),
      wrap(deferral),
    ].join('\n'),
  );
}
