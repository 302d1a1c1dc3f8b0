import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';

/**
 * Writes a file that is there whole or not at all, also after a power cut: beside its place first, then under its name.
 * Throws the error of the file system, and leaves nothing then. Two writers of one file take turns by a lock.
 */
export function writeDurably(path: string, content: Uint8Array | string): void {
  const draft = `${path}.new`;
  const handle = openSync(draft, 'w');
  try {
    try {
      writeAll(handle, typeof content === 'string' ? Buffer.from(content, 'utf8') : content);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(draft, path);
  } catch (error) {
    rmSync(draft, { force: true });
    throw error;
  }
  syncFolder(dirname(path));
}

/** Writes a file that others see whole or not at all. Unlike `writeDurably` it may be lost, or be broken, by a power cut. */
export function writeDraft(path: string, content: string): void {
  writeFileSync(`${path}.new`, content);
  renameSync(`${path}.new`, path);
}

export function writeAll(handle: number, bytes: Uint8Array, at = 0): void {
  for (let written = 0; written < bytes.length; )
    written += writeSync(handle, bytes, written, bytes.length - written, at + written);
}

/** Makes the names in a folder durable. Windows opens no folders, and needs nothing of the kind. */
function syncFolder(folder: string): void {
  let handle: number;
  try {
    handle = openSync(folder, 'r');
  } catch {
    return;
  }
  try {
    fsyncSync(handle);
  } catch {
    // Some file systems do not sync folders.
  } finally {
    closeSync(handle);
  }
}
