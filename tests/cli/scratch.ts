import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { copyPack } from '../packs/copy-pack.ts';

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** A folder for one test. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-cli-'));
  folders.push(folder);
  return folder;
}

/** A copy of a pack of the checkout in a folder of the test, with some texts of a file changed. */
export function copyOfPack(
  pack: string,
  ...changes: readonly (readonly [file: string, from: string | RegExp, to: string])[]
): string {
  const folder = copyPack(pack, scratch());
  for (const [file, from, to] of changes) {
    const path = join(folder, file);
    const before = readFileSync(path, 'utf8');
    const after = before.replaceAll(typeof from === 'string' ? from : new RegExp(from, 'g'), to);
    if (after === before) throw new Error(`${file} has no ${String(from)}`);
    writeFileSync(path, after);
  }
  return folder;
}

/** The one job file of a store. */
export function jobFileIn(store: string): string {
  const found = readdirSync(store).filter((name) => name.endsWith('.jsonl'));
  if (found.length !== 1) throw new Error(`one job is expected in ${store}, and there are ${found.length}`);
  return join(store, found[0] ?? '');
}
