import { closeSync, constants, openSync, statSync, writeFileSync } from 'node:fs';
import { notWritten } from '@ferrule/signing';
import type { ExitCode } from './exit-code.ts';
import { complain } from './output.ts';

/** Writes a result to a file. That it cannot be written is a fault of the call, and said; undefined when all is well. */
export function writeResult(file: string, text: string): { readonly exitCode: ExitCode } | undefined {
  let pipe: number | undefined;
  try {
    pipe = openedPipe(file);
    writeFileSync(file, text);
    return undefined;
  } catch (fault) {
    complain(`ferrule: ${notWritten(file, fault)}`);
    return { exitCode: 2 };
  } finally {
    if (pipe !== undefined) closeSync(pipe);
  }
}

/**
 * Opening a pipe waits until somebody reads from it, which may be never: throws what the system says where nobody does. It stays
 * open until it is written, since whoever reads would take its closing for the end.
 */
function openedPipe(file: string): number | undefined {
  if (statSync(file, { throwIfNoEntry: false })?.isFIFO() !== true) return undefined;
  return openSync(file, constants.O_WRONLY | (constants.O_NONBLOCK ?? 0));
}
