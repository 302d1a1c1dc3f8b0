import { CommanderError } from 'commander';
import { program } from './program.ts';
import { complain, leaveQuietlyOnClosedPipe } from './terminal/output.ts';

/** Does what the words of a call ask for; those of the process unless given. */
export async function main(words: readonly string[] = process.argv): Promise<void> {
  leaveQuietlyOnClosedPipe();
  try {
    await program().parseAsync(words);
  } catch (fault) {
    if (fault instanceof CommanderError) {
      // Help and version end well; everything else that commander says is about the call.
      process.exitCode = fault.exitCode === 0 ? 0 : 2;
    } else if (fault instanceof Error && 'syscall' in fault && 'path' in fault) {
      // The surroundings, and none of our own: a circle of links, a folder that was taken away meanwhile.
      const { notRead, notWritten } = await import('@ferrule/signing');
      const path = String(fault.path);
      const isWriting = /^(?:write|mkdir|rename|unlink|rm|ftruncate|fsync|copyfile|f?chmod)/.test(
        String(fault.syscall),
      );
      complain(`ferrule: ${isWriting ? notWritten(path, fault) : notRead(path, fault)}`);
      process.exitCode = 2;
    } else {
      const message = fault instanceof Error ? fault.message : String(fault);
      process.stderr.write(`ferrule: a defect of Ferrule itself: ${message}\n`);
      process.exitCode = 2;
    }
  }
}
