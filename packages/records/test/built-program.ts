import { chmodSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildSync } from 'esbuild';

/** Bundles a program that works with this package, for a process of its own, in a folder that anybody may read. */
export function builtProgram(contents: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-program-'));
  const outfile = join(folder, 'program.mjs');
  buildSync({
    stdin: { contents, resolveDir: fileURLToPath(new URL('../src', import.meta.url)) },
    bundle: true,
    format: 'esm',
    platform: 'node',
    conditions: ['source'],
    outfile,
  });
  chmodSync(folder, 0o755);
  return outfile;
}
