import { writeFileSync } from 'node:fs';
import { notWritten } from '@ferrule/signing';
import type { ExitCode } from './exit-code.ts';
import { complain } from './output.ts';

/** Writes a result to a file. That it cannot be written is a fault of the call, and said; undefined when all is well. */
export function writeResult(file: string, text: string): { readonly exitCode: ExitCode } | undefined {
  try {
    writeFileSync(file, text);
    return undefined;
  } catch (fault) {
    complain(`ferrule: ${notWritten(file, fault)}`);
    return { exitCode: 2 };
  }
}
