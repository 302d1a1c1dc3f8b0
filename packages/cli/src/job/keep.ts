import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { relative, resolve } from 'node:path';
import type { Fact, Plan } from '@ferrule/engine';
import { createJob, type JobFile } from '@ferrule/records';
import { callOf } from '../terminal/call.ts';
import { writeTime } from './occasion.ts';

/** Where the facts of a job go: a file of a store, or nowhere. */
export interface Keep {
  /** Adds a batch durably. Answers why not, if it could not be added. */
  add(facts: readonly Fact[], expectedSeq: number): Unkept | undefined;
  /** Whether what was added can still be found. */
  isThere(): boolean;
  /** The name of the job and its file; undefined when nothing is kept. */
  readonly kept?: { readonly job: string; readonly path: string; readonly store: string };
}

/** Why a batch was not added; with all the facts that are there, where others have been added in the meantime. */
export interface Unkept {
  readonly message: string;
  readonly facts?: readonly Fact[];
}

export const keepNothing: Keep = { add: () => undefined, isThere: () => true };

/** Keeps a job in its open file. */
export function keepIn(store: string, file: JobFile): Keep {
  return {
    kept: { job: file.header.job, path: file.path, store },
    add: (facts, expectedSeq) => {
      const done = file.append(facts, expectedSeq);
      if (done.refused === undefined) return undefined;
      return done.refused === 'stale-sequence'
        ? { message: done.message, facts: file.facts }
        : { message: done.message };
    },
    isThere: () => existsSync(file.path),
  };
}

/** Begins a job file for a plan, under a name that says when and what. */
export function newJobFile(
  store: string,
  plan: Plan,
  pack: { readonly folder: string; readonly digest: string; readonly overlay?: string },
): ReturnType<typeof createJob> {
  const pathTo = (folder: string): string => relative(resolve(store), resolve(folder)).replaceAll('\\', '/');
  const { overlay } = plan.pack;
  const day = writeTime(new Date()).slice(0, 10);
  const job = `${day}-${plan.procedure.id.slice(0, 40)}-${randomBytes(2).toString('hex')}`;
  return createJob(store, {
    job,
    pack: {
      id: plan.pack.id,
      revision: plan.pack.revision,
      path: pathTo(pack.folder),
      digest: pack.digest,
    },
    ...(overlay === undefined || pack.overlay === undefined
      ? {}
      : {
          overlay: {
            ...{ id: overlay.id, revision: overlay.revision, path: pathTo(pack.overlay) },
            ...{ digest: overlay.digest, over: overlay.over },
          },
        }),
    procedure: plan.procedure.id,
    variant: plan.variant.id,
  });
}

/** How a kept job is taken up again. */
export const takeUpAgain = (
  { folder, overlay }: { readonly folder: string; readonly overlay?: string },
  kept: NonNullable<Keep['kept']>,
): string =>
  callOf(
    ...['run', folder, ...(overlay === undefined ? [] : ['--overlay', overlay])],
    ...['--jobs', kept.store, '--job', kept.job],
  );
