import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Envelope, notWritten, releaseFile, writeEnvelope } from '@ferrule/signing';

/** Writes the release into its folder, whole or not at all. Answers why it could not be written. */
export function writeRelease(folder: string, envelope: Envelope): string | undefined {
  const path = join(folder, releaseFile);
  // A name that starts with a dot is no part of the folder, if anything cuts this short.
  const beside = join(folder, `.${releaseFile}.${process.pid}`);
  try {
    const handle = openSync(beside, 'w');
    try {
      writeFileSync(handle, writeEnvelope(envelope));
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(beside, path);
    return undefined;
  } catch (fault) {
    rmSync(beside, { force: true });
    return notWritten(path, fault);
  }
}
