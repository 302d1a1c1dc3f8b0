import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { makeFolder, writePieces } from '@ferrule/records';
import type { AskedRejudging } from './asked-rejudging.ts';

/** How a rejudging stands. One that is cut off was under way when a server ended, and goes on when it is asked for again. */
export const rejudgingStates = ['under-way', 'done', 'stopped', 'cut-off', 'failed'] as const;
export type RejudgingState = (typeof rejudgingStates)[number];

/** What is known of a rejudging, as it is kept beside its reports. */
export interface KeptRejudging {
  readonly format: typeof keptFormat;
  readonly id: string;
  readonly asked: AskedRejudging;
  /** Of the revision to judge by, as it stood on the shelf. */
  readonly digest: string;
  readonly title: string;
  readonly release: string;
  readonly notice?: string;
  readonly begun: string;
  readonly ended?: string;
  readonly state: RejudgingState;
  readonly jobs: { readonly total: number; readonly done: number };
  readonly says?: readonly string[];
  readonly rowCount?: number;
  /** Why it failed, in words without a path. */
  readonly failure?: string;
}

/** The version of what is kept; another one is left aside. */
export const keptFormat = 'ferrule-rejudging-1';

/** Where the rejudgings of a store are kept. Each has a folder named after its id, which may hold capital letters. */
export const folderOf = (root: string, id: string): string =>
  join(root, createHash('sha256').update(id).digest('hex').slice(0, 32));

const fileIn = (folder: string): string => join(folder, 'rejudging.json');

/** Makes the folder of a rejudging, and writes what is known of it. Throws what the file system throws. */
export function writeKept(root: string, kept: KeptRejudging): void {
  const folder = folderOf(root, kept.id);
  makeFolder(folder);
  writePieces(fileIn(folder), [`${JSON.stringify(kept, null, 2)}\n`]);
}

/** Every rejudging that can be read, the newest first. */
export function readAllKept(root: string): readonly KeptRejudging[] {
  return foldersIn(root)
    .flatMap((name) => readKept(join(root, name)) ?? [])
    .sort((a, b) => Date.parse(b.begun) - Date.parse(a.begun) || (a.id < b.id ? -1 : 1));
}

/** Takes a rejudging away, with its reports. */
export const removeKept = (root: string, id: string): void =>
  rmSync(folderOf(root, id), { recursive: true, force: true });

function foldersIn(root: string): readonly string[] {
  try {
    return readdirSync(root);
  } catch {
    return [];
  }
}

function readKept(folder: string): KeptRejudging | undefined {
  try {
    const read: KeptRejudging = JSON.parse(readFileSync(fileIn(folder), 'utf8'));
    return read.format === keptFormat ? read : undefined;
  } catch {
    return undefined;
  }
}
