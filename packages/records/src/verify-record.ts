import type { Fact } from '@ferrule/engine';
import { type Digest, digestOf, type PublicKey, readEnvelope, verifyEnvelope } from '@ferrule/signing';
import { chainFindings } from './chain-findings.ts';
import { compareWithSigned } from './compare-facts.ts';
import { type JobStatement, jobStatementType, readStatement } from './job-statement.ts';
import { stateOf } from './job-summary.ts';
import type { JobFinding, JobVerification } from './job-verification.ts';
import { type JobScan, scanJob } from './scan-job.ts';

/** Where the parts of a record come from: a store, or a file that was exported. */
export interface RecordParts {
  readonly job: string;
  readonly record: Uint8Array;
  /** The text of the signature; undefined when there is none. */
  readonly signature?: string;
  /** What is kept under the digest of the pack; undefined when nothing is. */
  bundle(digest: string): Uint8Array | undefined;
  /** What is kept under the digest of a picture; undefined when nothing is. */
  photograph(digest: string): Uint8Array | undefined;
}

export interface VerifyOptions {
  /** The keys that count. Without them a signature only shows that nothing was changed since somebody signed. */
  readonly keys?: readonly PublicKey[];
  /** The digest that the record is expected to end with, as it was printed or written down. */
  readonly expect?: Digest;
}

/** Holds a record against itself, its signature, the keys that count and the digest that is expected. */
export function verifyRecord(parts: RecordParts, options: VerifyOptions = {}): JobVerification {
  const scan = scanJob(parts.record);
  const findings: JobFinding[] = [];
  const notes: string[] = [];
  for (const { line, message } of scan.wrong)
    findings.push({ code: 'unreadable', line, message: `Line ${line} cannot be relied on: ${message}.` });
  for (const line of scan.notCanonical)
    findings.push({
      code: 'not-canonical',
      line,
      message: `Line ${line} is not in canonical form, so it was written by something else.`,
    });
  if (scan.headerDigest === undefined)
    findings.push({
      code: 'unreadable',
      line: 1,
      message: 'Line 1 is missing: the file does not say which job it is.',
    });
  if (scan.header !== undefined && scan.header.job !== parts.job)
    findings.push({
      code: 'other-job',
      line: 1,
      message: `This is the record of the job ${scan.header.job}, under another name.`,
    });
  else if (scan.headerDigest !== undefined && scan.facts.length === 0 && scan.wrong.length === 0)
    findings.push({
      code: 'unreadable',
      line: 2,
      message: 'Line 2 is missing: no fact of the job is there.',
    });
  if (scan.torn > 0)
    notes.push(
      `${scan.torn} bytes stand behind the last whole line: a write that was cut off, and was never confirmed.`,
    );
  const last = scan.facts.at(-1);
  const chain = chainFindings(scan);
  const signed = readSignature(parts, options, last?.fact.fact.kind === 'closed', findings, notes);
  findings.push(...(signed === undefined ? chain : againstStatement(signed.statement, scan, chain)));
  const isExpected = expectEnd(scan, options, findings, notes);
  if (signed === undefined && !isExpected) notes.push(UNSEEN);
  lookAtPack(parts, scan, findings, notes);
  lookAtPhotographs(parts, scan, findings, notes);
  return {
    job: parts.job,
    isSound: findings.length === 0,
    findings: findings.toSorted((a, b) => (a.line ?? a.seq ?? 0) - (b.line ?? b.seq ?? 0)),
    notes,
    facts: scan.facts.length,
    ...(last === undefined ? {} : { state: stateOf(scan.facts.map(({ fact }) => fact)), last: last.digest }),
    ...(signed === undefined ? {} : { signature: signed.signature }),
  };
}

const UNSEEN =
  'Without a signature, or a digest of its end that was printed or written down, it cannot be seen whether facts at the end were cut off, or all of it was written anew.';

interface Signed {
  readonly statement: JobStatement;
  readonly signature: NonNullable<JobVerification['signature']>;
}

function readSignature(
  { signature }: RecordParts,
  { keys }: VerifyOptions,
  isClosed: boolean,
  findings: JobFinding[],
  notes: string[],
): Signed | undefined {
  if (signature === undefined) {
    if (isClosed && keys !== undefined)
      findings.push({
        code: 'signature-missing',
        message: 'The job is closed, and is not signed with any of the keys that count.',
      });
    else notes.push('It is not signed.');
    return undefined;
  }
  const broken = (message: string): undefined => {
    findings.push({ code: 'signature-broken', message: `The signature cannot be relied on. ${message}` });
    return undefined;
  };
  const envelope = readEnvelope(signature);
  let read = verifyEnvelope(envelope, jobStatementType, keys);
  let isKnown = keys !== undefined;
  if ('wrong' in read) {
    if (read.wrong !== 'no-known-key') return broken(read.message);
    findings.push({
      code: 'wrong-key',
      message: `It is signed with ${read.unknown.join(', ') || 'a key that is not named'}, and that is none of the keys that count.`,
    });
    // What was signed still shows what was changed since.
    isKnown = false;
    read = verifyEnvelope(envelope, jobStatementType);
    if ('wrong' in read) return undefined;
  }
  const statement = readStatement(read.payload);
  if (statement === undefined) return broken('What is signed says nothing about a job.');
  if (keys === undefined)
    notes.push('Whose keys have signed it, nothing here says: name the keys that count.');
  return { statement, signature: { signedBy: read.signedBy, isKnown, by: statement.by, at: statement.at } };
}

function againstStatement(
  statement: JobStatement,
  scan: JobScan,
  chain: readonly JobFinding[],
): readonly JobFinding[] {
  if (scan.header !== undefined && statement.job !== scan.header.job)
    return [
      ...chain,
      { code: 'other-job', message: `The signature is of the job ${statement.job}, and not of this one.` },
    ];
  const header: readonly JobFinding[] =
    scan.headerDigest === undefined || scan.headerDigest === statement.header
      ? []
      : [{ code: 'header-changed', line: 1, message: 'The first line was changed since it was signed.' }];
  const compared = compareWithSigned(statement.facts, scan.facts);
  const found = [...header, ...compared];
  if (found.length > 0) return found;
  if (chain.length > 0) return chain;
  if (scan.facts.at(-1)?.digest === statement.last) return [];
  return [
    {
      code: 'links-changed',
      message: 'Every fact says what it said when it was signed, and their numbers or links were changed.',
    },
  ];
}

/** Whether the record is shown to end where it is expected to. */
function expectEnd(
  { facts, headerDigest }: JobScan,
  { expect }: VerifyOptions,
  findings: JobFinding[],
  notes: string[],
): boolean {
  if (expect === undefined) return false;
  const found = facts.findLast(({ digest }) => digest === expect);
  if (found === undefined && expect !== headerDigest) {
    findings.push({
      code: 'other-end',
      message: `No fact has the digest that is expected (${expect}): facts up to there were changed, or the end was cut off.`,
    });
    return false;
  }
  const seq = found?.seq ?? 0;
  const more = facts.length - seq;
  if (more > 0)
    notes.push(
      `The digest that is expected is that of fact ${seq}; ${more === 1 ? 'one fact was' : `${more} facts were`} added behind it.`,
    );
  return more === 0;
}

function lookAtPack(
  { bundle }: RecordParts,
  { header }: JobScan,
  findings: JobFinding[],
  notes: string[],
): void {
  if (header === undefined) return;
  const { id, revision, digest } = header.pack;
  const kept = bundle(digest);
  if (kept === undefined) notes.push(`The pack ${id} ${revision} is not kept with it.`);
  else if (digestOf(kept) !== digest)
    findings.push({
      code: 'pack-changed',
      message: `What is kept as the pack ${id} ${revision} has another digest than the job was done with (${digest}).`,
    });
}

/** The digests of the pictures that facts name, each with the number of the last fact that does. */
export const photographsIn = (facts: readonly Fact[]): ReadonlyMap<string, number> =>
  new Map(
    facts.flatMap(({ seq, fact }): (readonly [string, number])[] =>
      fact.kind === 'done' && fact.photograph !== undefined ? [[fact.photograph.digest, seq]] : [],
    ),
  );

function lookAtPhotographs(
  { photograph }: RecordParts,
  { facts }: JobScan,
  findings: JobFinding[],
  notes: string[],
): void {
  const missing: number[] = [];
  for (const [digest, seq] of photographsIn(facts.map(({ fact }) => fact))) {
    const kept = photograph(digest);
    if (kept === undefined) missing.push(seq);
    else if (digestOf(kept) !== digest)
      findings.push({
        code: 'photograph-changed',
        seq,
        message: `What is kept as the photograph of fact ${seq} is another file.`,
      });
  }
  if (missing.length > 0)
    notes.push(
      `${missing.length === 1 ? `The photograph of fact ${missing[0]} is` : `The photographs of facts ${missing.join(', ')} are`} not kept with it.`,
    );
}
