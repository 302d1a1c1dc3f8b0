import { closeSync, constants, openSync, statSync, writeFileSync } from 'node:fs';
import { notWritten } from '@ferrule/signing';
import type { ExitCode } from './exit-code.ts';
import { complain } from './output.ts';

/** Writes a result to a file. That it cannot be written is a fault of the call, and said; undefined when all is well. */
export function writeResult(file: string, text: string): { readonly exitCode: ExitCode } | undefined {
  try {
    refuseUnreadPipe(file);
    writeFileSync(file, text);
    return undefined;
  } catch (fault) {
    complain(`ferrule: ${notWritten(file, fault)}`);
    return { exitCode: 2 };
  }
}

/** Opening a pipe waits until somebody reads from it, which may be never: throws what the system says where nobody does. */
function refuseUnreadPipe(file: string): void {
  if (statSync(file, { throwIfNoEntry: false })?.isFIFO() !== true) return;
  closeSync(openSync(file, constants.O_WRONLY | (constants.O_NONBLOCK ?? 0)));
}
