import { type Fact, type Pack, resolve } from '@ferrule/engine';
import { call } from '../link/call.ts';
import type { FactsDocument, JobDocument, Problem } from '../link/documents.ts';
import { kept } from './kept.ts';
import { JobSession } from './session.ts';

export type Opened =
  | { readonly opened: 'session'; readonly session: JobSession }
  | { readonly opened: 'problem'; readonly problem: Problem }
  /** The server is not reached, and this device has not seen the job before. */
  | { readonly opened: 'away' };

/** Opens a job from the server, or, where that is not reached, as this device last saw it. */
export async function openSession(job: string): Promise<Opened> {
  const [came, queue] = await Promise.all([call<JobDocument>(`/jobs/${job}`), kept.queue(job)]);
  if (came.came === 'problem') return { opened: 'problem', problem: came.problem };
  if (came.came === 'away') {
    const seen = await kept.job(job);
    const pack = seen && (await kept.pack(seen.document.pack.digest));
    const [first, ...others] = seen?.facts ?? [];
    if (seen === undefined || pack === undefined || first === undefined) return { opened: 'away' };
    return sessionOf(seen.document, pack, [first, ...others], queue, 'away');
  }
  const { document } = came;
  const [pack, facts] = await Promise.all([packOf(document.pack.digest), factsOf(job)]);
  if ('code' in pack) return { opened: 'problem', problem: pack };
  const [first, ...others] = facts;
  if (first === undefined) return { opened: 'away' };
  void kept.keepJob(job, { document, facts });
  return sessionOf(document, pack, [first, ...others], queue, 'reached');
}

function sessionOf(
  document: JobDocument,
  pack: Pack,
  facts: readonly [Fact, ...Fact[]],
  queue: Parameters<typeof kept.keepQueue>[1],
  link: 'reached' | 'away',
): Opened {
  const { plan } = resolve(pack, { procedure: document.procedure.id, variant: document.variant.id });
  if (plan === undefined)
    return {
      opened: 'problem',
      problem: {
        ...{ code: 'faulty-pack', title: 'The pack has faults', status: 409 },
        detail: `${document.pack.title} cannot be used in this version of the page.`,
        remedy: 'ferrule check says what is wrong with it.',
      },
    };
  const session = new JobSession(document, pack, plan, facts, queue);
  session.link.value = link;
  return { opened: 'session', session };
}

/** A pack never changes under its digest, so what this device has of it is as good as what the server has. */
async function packOf(digest: string): Promise<Pack | Problem> {
  const known = await kept.pack(digest);
  if (known !== undefined) return known;
  const came = await call<{ readonly document: Pack }>(`/bundles/${digest}`);
  if (came.came === 'problem') return came.problem;
  if (came.came === 'away')
    return {
      ...{ code: 'away', title: 'The server is not reached', status: 0 },
      detail: 'The pack of the job did not come.',
      remedy: 'Open the job again when the server is reached.',
    };
  const pack = came.document.document;
  void kept.keepPack(digest, pack);
  return pack;
}

async function factsOf(job: string): Promise<readonly Fact[]> {
  const all: Fact[] = [];
  for (;;) {
    const came = await call<FactsDocument>(`/jobs/${job}/facts?after=${all.at(-1)?.seq ?? 0}`);
    if (came.came !== 'document') return all;
    all.push(...came.document.facts);
    if (came.document.more === undefined || came.document.facts.length === 0) return all;
  }
}
