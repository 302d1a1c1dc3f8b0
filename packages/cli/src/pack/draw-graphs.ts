import type { CheckReport, Proof } from '@ferrule/check';
import { resolve } from '@ferrule/engine';
import type { Exploration } from '@ferrule/engine/proof';
import { type ProofMarks, procedureGraph } from '@ferrule/print';
import { complain } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';
import { callFault, type Faulty } from './open-pack.ts';

/** Which procedures are drawn, and into which file. */
export interface GraphCall {
  readonly graph: string;
  readonly procedure?: string;
  readonly variant?: string;
}

/**
 * Draws what was proved, one picture for each procedure and variant that the call asks for. Several pictures go into
 * files of their own, named after what they show. Answers the files, or how the call failed.
 */
export function drawGraphs(reports: readonly CheckReport[], call: GraphCall): readonly string[] | Faulty {
  const pictures = reports.flatMap((report) =>
    report.proofs
      .filter(({ procedure }) => call.procedure === undefined || procedure === call.procedure)
      .filter(({ variant }) => call.variant === undefined || variant === call.variant)
      .map((proof) => ({ report, proof })),
  );
  if (pictures.length === 0) {
    if (reports.every((report) => report.proofs.length === 0)) {
      complain('ferrule: nothing is drawn, since nothing is proved before the errors are put right.');
      return { exitCode: 1 };
    }
    const known = reports.flatMap(({ proofs }) => proofs.map((one) => `${one.procedure} for ${one.variant}`));
    return callFault(`no such procedure and variant is proved here. There is ${known.join(', ')}.`);
  }
  const files: string[] = [];
  for (const { report, proof } of pictures) {
    if (report.pack === undefined) continue;
    const { procedure, variant } = proof;
    const { plan } = resolve(report.pack, { procedure, variant });
    if (plan === undefined) continue;
    const { pack: id, revision } = report.pack;
    const name = [...(reports.length > 1 ? [id, revision] : []), procedure, variant].join('-');
    const file = pictures.length === 1 ? call.graph : named(call.graph, name);
    const failed = writeResult(file, procedureGraph(plan, report.pack, marksOf(proof)));
    if (failed !== undefined) return failed;
    files.push(file);
  }
  return files;
}

/** `work.svg` for a name: `work-name.svg`. */
function named(file: string, name: string): string {
  const [, stem = file, ending = ''] = /^(.*[^/\\])(\.[^./\\]*)$/.exec(file) ?? [];
  return `${stem}-${name}${ending}`;
}

function marksOf({ exploration }: Proof): ProofMarks {
  return {
    refutations: exploration.refutations.map((one) => ({
      says: inShort(one),
      ...('node' in one ? { node: one.node } : {}),
      way: one.trace.map((step) => step.node),
    })),
    // A fault on the way hides what lies behind it.
    unreached: exploration.refutations.length > 0 || exploration.cutShort ? [] : exploration.unreached,
    isCutShort: exploration.cutShort,
  };
}

/** What is refuted, in one sentence; the report of the check says more. */
function inShort(refutation: Exploration['refutations'][number]): string {
  switch (refutation.property) {
    case 'law':
      return `It can come when it must not be done: ${refutation.guard.because.says}`;
    case 'goes-on':
      return 'The job can stand still: nothing carries it on.';
    case 'one-case':
      return 'The choice can come up with no case that is true, or with several.';
    case 'judged':
      return `${refutation.entry} can be relied on before it is held against its limits.`;
    case 'ends':
      return `The job can end in a wrong state: ${refutation.guard.because.says}`;
  }
}
