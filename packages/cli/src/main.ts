import { CommanderError } from 'commander';
import { program } from './program.ts';
import { leaveQuietlyOnClosedPipe } from './terminal/output.ts';

/** Does what the words of a call ask for; those of the process unless given. */
export async function main(words: readonly string[] = process.argv): Promise<void> {
  leaveQuietlyOnClosedPipe();
  try {
    await program().parseAsync(words);
  } catch (fault) {
    if (fault instanceof CommanderError) {
      // Help and version end well; everything else that commander says is about the call.
      process.exitCode = fault.exitCode === 0 ? 0 : 2;
    } else {
      const message = fault instanceof Error ? fault.message : String(fault);
      process.stderr.write(`ferrule: a defect of Ferrule itself: ${message}\n`);
      process.exitCode = 2;
    }
  }
}
