import type { Job } from '@ferrule/engine';

/**
 * The numbers of the verdicts that were accepted by concession: the last one before a hold that a concession released, given at the step
 * of that hold.
 */
export function concededIn({ facts }: Pick<Job, 'facts'>): ReadonlySet<number> {
  const conceded = new Set<number>();
  let judged: { readonly seq: number; readonly step: string } | undefined;
  for (const { fact, seq } of facts) {
    if (fact.kind === 'judged') judged = { seq, step: fact.step };
    if (fact.kind === 'released' && fact.by === 'concession' && judged?.step === fact.step)
      conceded.add(judged.seq);
  }
  return conceded;
}
