import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { relative, resolve } from 'node:path';
import type { Fact, Plan } from '@ferrule/engine';
import { folderStore, type JobHeader, type JobStore, jobPath } from '@ferrule/records';
import type { ReleaseRecord } from '@ferrule/signing';
import { callOf } from '../terminal/call.ts';
import { writeTime } from './occasion.ts';

/** Where the facts of a job go: a store, or nowhere. */
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

/** Keeps a job that is in a store already. */
export function keepIn(folder: string, store: JobStore, job: string): Keep {
  const path = jobPath(folder, job);
  return {
    kept: { job, path, store: folder },
    add: (facts, expectedSeq) => {
      const done = store.append(job, facts, expectedSeq);
      if (done.refused === undefined) return undefined;
      const now = done.refused === 'stale-sequence' ? store.read(job) : undefined;
      return { message: done.message, ...(now?.facts === undefined ? {} : { facts: now.facts }) };
    },
    isThere: () => existsSync(path),
  };
}

/** What a new job is done by. */
export interface JobSource {
  readonly plan: Plan;
  readonly folder: string;
  readonly overlay?: string;
  readonly digest: string;
  readonly bundle: string;
  readonly release?: ReleaseRecord;
}

/** Keeps a job that begins with the first facts that are added, under a name that says when, which is now if not said, and what. */
export function keepNew(folder: string, runnable: JobSource, begun = new Date()): Keep {
  const store = folderStore(folder);
  const header = headerOf(folder, store, runnable, begun);
  const keep = keepIn(folder, store, header.job);
  return {
    ...keep,
    add: (facts, expectedSeq) => {
      if (expectedSeq > 0) return keep.add(facts, expectedSeq);
      const made = store.create(header, runnable.bundle, facts);
      return made.refused === undefined ? undefined : { message: made.message };
    },
  };
}

function headerOf(
  at: string,
  store: JobStore,
  { plan, folder, overlay, digest, release }: JobSource,
  begun: Date,
): JobHeader {
  const pathTo = (path: string): string => relative(resolve(at), resolve(path)).replaceAll('\\', '/');
  const { id, revision, overlay: laid } = plan.pack;
  const day = writeTime(begun).slice(0, 10);
  let job: string;
  do job = `${day}-${plan.procedure.id.slice(0, 40)}-${randomBytes(2).toString('hex')}`;
  while (store.stamp(job) !== undefined);
  return {
    job,
    pack: { id, revision, path: pathTo(folder), digest },
    ...(laid === undefined || overlay === undefined
      ? {}
      : {
          overlay: {
            ...{ id: laid.id, revision: laid.revision, path: pathTo(overlay) },
            ...{ digest: laid.digest, over: laid.over },
          },
        }),
    procedure: plan.procedure.id,
    variant: plan.variant.id,
    ...(release === undefined ? {} : { release }),
  };
}

/** How a kept job is taken up again: its store has its pack. */
export const takeUpAgain = ({ store, job }: NonNullable<Keep['kept']>): string =>
  callOf('run', '--jobs', store, '--job', job);
