import { dirname } from 'node:path';
import { type InstrumentList, readInstrumentList } from '@ferrule/check';
import type { Pack } from '@ferrule/engine';
import type { Faulty } from '../pack/open-pack.ts';
import { writeDiagnostic } from '../pack/write-diagnostic.ts';
import { complain, say } from '../terminal/output.ts';
import { nameOfFile, readDataFile } from './read-data-file.ts';

/** Reads the shop's list of instruments. What is wrong is printed, and the exit code comes back; a warning goes to stderr. */
export async function readInstruments(file: string, pack: Pack): Promise<InstrumentList | Faulty> {
  const bytes = await readDataFile('instruments', file);
  if ('exitCode' in bytes) return bytes;
  const { list, diagnostics } = readInstrumentList(bytes, nameOfFile(file), pack);
  const write = list === undefined ? say : complain;
  for (const one of diagnostics) write(writeDiagnostic(dirname(file), one));
  return list ?? { exitCode: 1 };
}
