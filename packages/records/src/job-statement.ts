import type { Fact } from '@ferrule/engine';
import { canonical, type Digest, digestOf } from '@ferrule/signing';
import { isDigest } from './is-digest.ts';
import { headerLine } from './lines.ts';
import type { JobContent } from './read-job.ts';

/** Under which type a job is signed (DSSE). */
export const jobStatementType = 'application/vnd.ferrule.job+json';

/** The version of the statement; any other is refused. */
export const jobStatementFormat = 'ferrule-job-signature-1';

/** What whoever signs a job says of it. */
export interface JobStatement {
  readonly format: typeof jobStatementFormat;
  readonly job: string;
  /** Digest of the first line. */
  readonly header: Digest;
  /**
   * Digests of what each fact says, in order, without its number and its link to the fact before: so a fact that is changed,
   * taken away or moved can be named also where every number and link behind it was made anew.
   */
  readonly facts: readonly Digest[];
  /** Digest of the last fact as it is stored, on which all numbers and links rest. */
  readonly last: Digest;
  readonly pack: { readonly id: string; readonly revision: string; readonly digest: string };
  /** When it was signed, and who acted. */
  readonly at: string;
  readonly by: string;
}

/** Digest of what a fact says, whatever its number and the fact before. */
export function saidDigest(stored: Readonly<Record<string, unknown>>): Digest {
  const { seq: _, before: __, ...said } = stored;
  return digestOf(canonical(said));
}

export function statementOf(
  { header, facts, asked, last }: JobContent,
  by: string,
  at: string,
): JobStatement {
  const { id, revision, digest } = header.pack;
  const said = (fact: Fact): Digest => {
    const asking = asked.get(fact.seq);
    return saidDigest({ ...fact, ...(asking === undefined ? {} : { asked: asking }) });
  };
  return {
    format: jobStatementFormat,
    job: header.job,
    header: digestOf(headerLine(header)),
    facts: facts.map(said),
    last,
    pack: { id, revision, digest },
    at,
    by,
  };
}

/** A statement that was parsed; undefined when it is none. */
export function readStatement(payload: unknown): JobStatement | undefined {
  if (typeof payload !== 'object' || payload === null) return undefined;
  if (!('format' in payload && 'job' in payload && 'header' in payload && 'facts' in payload))
    return undefined;
  if (!('last' in payload && 'pack' in payload && 'at' in payload && 'by' in payload)) return undefined;
  const { format, job, header, facts, last, pack, at, by } = payload;
  if (format !== jobStatementFormat || typeof job !== 'string' || !isDigest(header) || !isDigest(last))
    return undefined;
  if (!Array.isArray(facts) || !facts.every(isDigest) || typeof at !== 'string' || typeof by !== 'string')
    return undefined;
  if (typeof pack !== 'object' || pack === null) return undefined;
  if (!('id' in pack && 'revision' in pack && 'digest' in pack)) return undefined;
  const { id, revision, digest } = pack;
  if (typeof id !== 'string' || typeof revision !== 'string' || typeof digest !== 'string') return undefined;
  return { format, job, header, facts, last, pack: { id, revision, digest }, at, by };
}
