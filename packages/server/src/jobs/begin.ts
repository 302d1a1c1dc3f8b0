import { createHash } from 'node:crypto';
import { type InstrumentUsed, start } from '@ferrule/engine';
import { askedDigest, type JobHeader } from '@ferrule/records';
import { releaseRecord } from '@ferrule/signing';
import type { Context } from '../context.ts';
import { planOf } from '../packs/shelf.ts';
import type { Problem } from '../problem.ts';
import { type Answered, idUsed, notWritten, refused } from './desk.ts';

/** What is asked for to begin a job. */
export interface Beginning {
  readonly id: string;
  readonly by: string;
  readonly pack: string;
  readonly revision: string;
  readonly overlay?: { readonly overlay: string; readonly revision: string };
  readonly procedure: string;
  readonly variant: string;
  readonly persons: readonly { readonly role: string; readonly person: string }[];
  readonly instruments: readonly InstrumentUsed[];
}

/** How many digits of the digest of the request's id stand at the end of a job's name. */
const DIGITS = 16;

/**
 * Begins a job with the pack as it stands on the shelf now. The name of the job ends with a digest of the id of the request,
 * so the job that an id has begun is found again, also after a restart.
 */
export async function begin(
  { store, desk, shelf, pathTo }: Context,
  asked: Beginning,
  at: () => string,
): Promise<Answered | Problem> {
  const { id, by, ...request } = asked;
  const ending = `-${createHash('sha256').update(id).digest('hex').slice(0, DIGITS)}`;
  const digest = askedDigest({ by, command: { command: 'start', ...request } });
  const again = async (): Promise<Answered | Problem | undefined> => {
    const known = store.names().find((one) => one.endsWith(ending));
    if (known === undefined) return undefined;
    const open = await desk.open(known);
    return 'code' in open ? open : (desk.answered(open, id, digest) ?? idUsed(id));
  };
  const before = await again();
  if (before !== undefined) return before;
  const opened = await shelf.open(request.pack, request.revision, request.overlay);
  if ('code' in opened) return opened;
  const plan = planOf(opened, request.procedure, request.variant);
  if ('code' in plan) return plan;
  const time = at();
  const { persons, instruments } = request;
  const started = start(plan, { bundle: opened.bundle.digest, persons, instruments }, { at: time, by, id });
  if (started.refusals !== undefined) return refused(started.refusals);
  const job = `${time.slice(0, 10)}-${plan.procedure.id.slice(0, 40)}${ending}`;
  const laid = plan.pack.overlay;
  const release = releaseRecord(opened.release, opened.overlayRelease);
  const header: JobHeader = {
    job,
    pack: {
      ...{ id: plan.pack.id, revision: plan.pack.revision },
      ...{ path: pathTo(opened.folder), digest: opened.bundle.digest },
    },
    ...(laid === undefined || opened.overlay === undefined
      ? {}
      : {
          overlay: {
            ...{ id: laid.id, revision: laid.revision, path: pathTo(opened.overlay) },
            ...{ digest: laid.digest, over: laid.over },
          },
        }),
    procedure: plan.procedure.id,
    variant: plan.variant.id,
    ...(release === undefined ? {} : { release }),
  };
  const created = store.create(header, opened.bundle.text, started.facts, digest);
  // Two requests with one id at the same time: the other one came first.
  if (created.refused === 'job-exists') return (await again()) ?? idUsed(id);
  if (created.refused !== undefined) return notWritten();
  const open = await desk.open(job);
  return 'code' in open ? open : { facts: started.facts, open };
}
