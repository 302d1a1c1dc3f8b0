import { readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import type { Revision } from '@ferrule/compare';
import { validate } from '@ferrule/engine/validate';
import { notRead, releaseWords, unsigned } from '@ferrule/signing';
import { bundleOf, type FileReadings, limits, readBundle, readChangelog } from '@ferrule/source';
import { callFault, type Faulty, openPack } from '../pack/open-pack.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, say, sayJson } from '../terminal/output.ts';

interface Asked {
  readonly overlay?: string | undefined;
  readonly policy?: string | undefined;
  readonly readings: FileReadings;
}

/** A revision from the folder of a pack or from the file of a bundle. What is wrong with it is printed. */
export async function readRevision(name: string, asked: Asked, format: Format): Promise<Revision | Faulty> {
  const stat = statSync(name, { throwIfNoEntry: false });
  if (stat?.isFile() === true) {
    if (asked.overlay !== undefined)
      return callFault(`${name} is a bundle, and an overlay is laid over the folder of a pack.`);
    return readBundleFile(name, stat.size, format);
  }
  const opened = await openPack(name, format, asked);
  if ('exitCode' in opened) {
    if (opened.exitCode === 1) complain(`ferrule: ${name} has faults. Nothing was compared.`);
    return opened;
  }
  const { pack, reading } = opened;
  const words = releaseWords(
    reading.release,
    asked.overlay === undefined ? undefined : (reading.overlayRelease ?? unsigned),
  );
  return {
    name,
    pack,
    digest: bundleOf(reading.document).digest,
    positions: reading.positions,
    release: words,
    changelog: { text: readChangelog(name) },
  };
}

function readBundleFile(name: string, size: number, format: Format): Revision | Faulty {
  if (size > limits.packBytes * 4) return callFault(`${name} is too large to be a bundle.`);
  let text: string;
  try {
    text = readFileSync(name, 'utf8');
  } catch (fault) {
    return callFault(notRead(name, fault));
  }
  const read = readBundle(text);
  const [, named] = /^([0-9a-f]{64})\.json$/.exec(basename(name)) ?? [];
  if (named !== undefined && read.digest !== undefined && read.digest !== `sha256:${named}`) {
    complain(
      `ferrule: ${name} is named after another digest than it has (${read.digest}): it was altered. Put back a copy from before. Nothing was compared.`,
    );
    return { exitCode: 1 };
  }
  const valid = read.document === undefined ? undefined : validate(read.document);
  if (read.document !== undefined && valid?.pack !== undefined)
    return { name, pack: valid.pack, digest: read.digest, release: 'a bundle, which no release speaks of' };
  const diagnostics = valid?.diagnostics ?? read.diagnostics;
  if (format === 'json') sayJson({ bundle: name, diagnostics });
  else for (const one of diagnostics) say(writeDiagnostic(name, one));
  complain(`ferrule: ${name} has faults. Nothing was compared.`);
  return { exitCode: 1 };
}
