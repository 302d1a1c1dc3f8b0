import { relative } from 'node:path';
import type { Policy } from '@ferrule/signing';
import { policyBeside, readPolicyFile } from '@ferrule/source';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, sayJson } from '../terminal/output.ts';
import { writeDiagnostic } from './write-diagnostic.ts';

/** A policy that was found, and where; neither where there is none. */
export interface FoundPolicy {
  readonly policy?: Policy;
  readonly path?: string;
}

/** A path as it can be typed here, where that is shorter. */
function fromHere(path: string): string {
  const short = relative(process.cwd(), path);
  return short.startsWith('..') || short === '' ? path : short;
}

/**
 * The policy for a folder: the file that was named, or the one that stands beside the packs. One with faults is said and
 * ends the call: what it was meant to forbid would otherwise pass.
 */
export async function policyFor(
  folder: string,
  named: string | undefined,
  format: Format,
): Promise<FoundPolicy | { readonly exitCode: ExitCode }> {
  const beside = named === undefined ? policyBeside(folder) : undefined;
  const path = named ?? (beside === undefined ? undefined : fromHere(beside));
  if (path === undefined) return {};
  const { policy, diagnostics } = await readPolicyFile(path);
  if (policy !== undefined) return { policy, path };
  const [first] = diagnostics;
  const isCallWrong = named !== undefined && first?.code === 'unreadable-file';
  if (format === 'json') sayJson({ policy: path, diagnostics });
  else if (isCallWrong) complain(`ferrule: ${first.message} ${first.remedy ?? ''}`);
  else for (const one of diagnostics) complain(writeDiagnostic('', one));
  return { exitCode: isCallWrong ? 2 : 1 };
}
