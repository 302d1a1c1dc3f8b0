import { longestRising, runs, spanOf } from './compare-facts.ts';
import type { JobFinding } from './job-verification.ts';
import type { JobScan, ScannedFact } from './scan-job.ts';

/** What the numbers and digests of a file say against one another, without anything to hold it against. */
export function chainFindings(scan: JobScan): readonly JobFinding[] {
  const findings: JobFinding[] = [];
  const bySeq = new Map<number, ScannedFact>();
  for (const one of scan.facts) {
    const { seq, line } = one;
    if (!bySeq.has(seq)) bySeq.set(seq, one);
    else
      findings.push({
        code: 'fact-added',
        seq,
        line,
        message: `A fact stands here as number ${seq}, and there is one already.`,
      });
  }
  const once = [...bySeq.values()];
  const inOrder = longestRising(once.map(({ seq }) => seq));
  for (const [index, { seq, line }] of once.entries())
    if (!inOrder.has(index))
      findings.push({ code: 'fact-moved', seq, line, message: `Fact ${seq} does not stand in its place.` });
  const numbers = [...bySeq.keys()].toSorted((a, b) => a - b);
  let next = 1;
  for (const [from, to] of runs(numbers)) {
    if (from > next)
      findings.push({ code: 'fact-missing', seq: next, message: `${spanOf(next, from - 1)} missing.` });
    next = to + 1;
  }
  for (const seq of numbers) {
    const one = bySeq.get(seq);
    if (one !== undefined) findings.push(...linkFindings(scan, bySeq, one));
  }
  return onePerFact(findings);
}

function linkFindings(
  { headerDigest }: JobScan,
  bySeq: ReadonlyMap<number, ScannedFact>,
  one: ScannedFact,
): readonly JobFinding[] {
  const { seq, line, digest, claimed, before } = one;
  const next = bySeq.get(seq + 1);
  const changed = (who: ScannedFact): JobFinding => ({
    code: 'fact-changed',
    seq: who.seq,
    line: who.line,
    message: `Fact ${who.seq} was changed: it has another digest than ${who.seq === seq ? 'is said of it' : 'is said behind it'}.`,
  });
  /** Whether somebody else says that a fact is as it was. */
  const isVouched = (who: ScannedFact): boolean =>
    who.claimed === who.digest || bySeq.get(who.seq + 1)?.before === who.digest;
  if (seq === 1 && headerDigest !== undefined && before !== headerDigest)
    return isVouched(one)
      ? [
          {
            code: 'header-changed',
            line: 1,
            message: 'The first line was changed: fact 1 follows another one.',
          },
        ]
      : [changed(one)];
  const isFollowed = next === undefined || next.before === digest;
  const isClaimed = claimed === undefined || claimed === digest;
  if (isFollowed && isClaimed) return [];
  // Of two that say otherwise, the one that is right about itself was not touched.
  if (!isFollowed && claimed === digest && next !== undefined) return [changed(next)];
  if (isFollowed && next !== undefined)
    return [
      { code: 'links-changed', seq, line, message: `What stands at the end of line ${line} was changed.` },
    ];
  return [changed(one)];
}

/** A fact that was changed is at odds with both of its neighbours, and is named once. */
function onePerFact(findings: readonly JobFinding[]): readonly JobFinding[] {
  const seen = new Set<string>();
  return findings.filter(({ code, seq, line }) => {
    const key = `${code} ${seq ?? ''} ${seq === undefined ? line : ''}`;
    return !seen.has(key) && seen.add(key) !== undefined;
  });
}
