import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of the checkout. */
export const root = fileURLToPath(new URL('../..', import.meta.url));
const command = join(root, 'packages/cli/bin/ferrule.js');

export interface Ran {
  readonly exitCode: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built command in a folder, the checkout unless another is said, with these lines on its stdin. */
export function ferrule(
  words: readonly string[],
  { cwd = root, lines = [] }: { readonly cwd?: string; readonly lines?: readonly string[] } = {},
): Ran {
  const { status, stdout, stderr } = spawnSync(process.execPath, [command, ...words], {
    cwd,
    encoding: 'utf8',
    input: lines.map((line) => `${line}\n`).join(''),
    maxBuffer: 64 * 1024 * 1024,
  });
  return { exitCode: status, stdout, stderr };
}

/**
 * Works with the command as a person does: waits for each prompt and answers by what stands on the screen since the last
 * answer. `answer` returns the line to type, or undefined to end the input.
 */
export function converse(
  words: readonly string[],
  answer: (screen: string, child: ChildProcess) => string | undefined | Promise<string>,
  cwd = root,
  env = process.env,
): Promise<Ran> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [command, ...words], { cwd, env });
    let stdout = '';
    let stderr = '';
    let seen = 0;
    let before = '';
    child.stdout.setEncoding('utf8').on('data', async (piece: string) => {
      stdout += piece;
      if (!stdout.endsWith('> ')) return;
      // What was typed last is echoed before the rest of the screen.
      const screen = stdout.slice(seen).replace(/^.*\n/, seen === 0 ? '$&' : '');
      seen = stdout.length;
      try {
        // The same question twice over means that the answer leads nowhere.
        if (screen === before) throw new Error(`asked again:\n${screen}`);
        before = screen;
        const line = await answer(screen, child);
        if (line === undefined) child.stdin.end();
        else child.stdin.write(`${line}\n`);
      } catch (error) {
        child.kill();
        fail(error);
      }
    });
    child.stderr.setEncoding('utf8').on('data', (piece: string) => {
      stderr += piece;
    });
    child.stdin.on('error', () => undefined);
    child.on('error', fail);
    child.on('close', (exitCode) => done({ exitCode, stdout, stderr }));
  });
}
