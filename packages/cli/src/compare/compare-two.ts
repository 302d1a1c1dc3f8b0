import { type ComparisonDocument, compareRevisions, comparisonSarif, type Revision } from '@ferrule/compare';
import { comparisonHtml, comparisonMarkdown } from '@ferrule/print';
import { FileReadings } from '@ferrule/source';
import { folderUri } from '../pack/folder-uri.ts';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { progress, say } from '../terminal/output.ts';
import { version } from '../terminal/version.ts';
import { writeResult } from '../terminal/write-result.ts';
import { readRevision } from './read-revision.ts';
import { writeComparison } from './write-comparison.ts';

export interface CompareCall {
  readonly format: 'text' | 'json' | 'sarif' | 'markdown' | 'html';
  readonly overlayBefore?: string;
  readonly overlayAfter?: string;
  readonly policy?: string;
  readonly out?: string;
  readonly withoutBehaviour?: boolean;
}

/** Compares two revisions of a pack, and writes what it finds to the screen or to a file. */
export async function compareTwo(older: string, newer: string, call: CompareCall): Promise<ExitCode> {
  const { policy, format, out } = call;
  const faults = format === 'json' ? 'json' : 'text';
  const readings = new FileReadings();
  const before = await readRevision(older, { overlay: call.overlayBefore, policy, readings }, faults);
  if ('exitCode' in before) return before.exitCode;
  const after = await readRevision(newer, { overlay: call.overlayAfter, policy, readings }, faults);
  if ('exitCode' in after) return after.exitCode;
  if (before.pack.pack !== after.pack.pack)
    return callFault(
      `${older} is the pack ${before.pack.pack}, and ${newer} is the pack ${after.pack.pack}. Two revisions of one pack are compared.`,
    ).exitCode;
  const document = { ...compareRevisions(before, after), ...(await behaviourOf(before, after, call)) };
  const text = written(document, call, { older, newer });
  const { exitCode } = out === undefined ? { exitCode: undefined } : (writeResult(out, text) ?? {});
  if (exitCode !== undefined) return exitCode;
  if (out === undefined) {
    if (format === 'text') say(text.trimEnd());
    else process.stdout.write(text);
  } else if (format === 'text' || format === 'html') say(`${out} written. ${document.bump.says}`);
  return document.bump.fits && document.account.findings.length === 0 ? 0 : 1;
}

/** What the newer revision does otherwise; nothing where that was not asked for. */
async function behaviourOf(
  before: Revision,
  after: Revision,
  { withoutBehaviour }: CompareCall,
): Promise<Pick<ComparisonDocument, 'behaviour'>> {
  if (withoutBehaviour === true || before.digest === after.digest) return {};
  const { compareBehaviour } = await import('@ferrule/compare/behaviour');
  const onProgress = (doing: string): void => progress(`ferrule: looking at ${doing}`);
  return { behaviour: compareBehaviour(before.pack, after.pack, { onProgress }) };
}

function written(
  document: ComparisonDocument,
  { format }: CompareCall,
  { older, newer }: { readonly older: string; readonly newer: string },
): string {
  switch (format) {
    case 'html':
      return comparisonHtml(document);
    case 'markdown':
      return comparisonMarkdown(document);
    case 'json':
      return `${JSON.stringify(document, null, 2)}\n`;
    case 'sarif': {
      const bases = { before: folderUri(older), after: folderUri(newer) };
      return `${JSON.stringify(comparisonSarif(document, bases, version), null, 2)}\n`;
    }
    case 'text':
      return writeComparison(document);
  }
}
