import { type Fact, type Pack, resolve } from '@ferrule/engine';
import { type Called, call } from '../link/call.ts';
import type { Asked, FactsDocument, JobDocument, Problem } from '../link/documents.ts';
import { canBeAsked, pathOf } from '../link/path-of.ts';
import { passes } from '../link/what-passes.ts';
import { type KeptJob, kept } from './kept.ts';
import { JobSession, type Link } from './session.ts';

export type Opened =
  | { readonly opened: 'session'; readonly session: JobSession }
  | { readonly opened: 'problem'; readonly problem: Problem }
  /** The server is not reached, and this device has not seen the job before. */
  | { readonly opened: 'away' };

/** A job with the pack that it runs on. */
interface Come extends KeptJob {
  readonly pack: Pack;
}

/** Opens a job from the server, or, where that is not reached, as this device last saw it. */
export async function openSession(job: string): Promise<Opened> {
  try {
    const [came, queue] = await Promise.all([fromServer(job), kept.queue(job)]);
    if (came.came === 'document') {
      const opened = sessionOf(came.document, queue, 'reached');
      if (opened.opened === 'session') opened.session.heard(came.date);
      const { document, facts } = came.document;
      void kept.keepJob(job, { document, facts });
      return opened;
    }
    const isPassing = came.came === 'away' || passes(came.problem);
    const seen = isPassing ? await fromDevice(job) : undefined;
    if (seen !== undefined) return sessionOf(seen, queue, 'away');
    return came.came === 'away' ? { opened: 'away' } : { opened: 'problem', problem: came.problem };
  } catch {
    // What came has another form than this page knows, and which does not matter to who stands before it.
    return { opened: 'problem', problem: unreadHere };
  }
}

const unreadHere: Problem = {
  ...{ code: 'unread-here', title: 'This page cannot show the job', status: 0 },
  detail:
    'What was given for it has a form that this version of the page does not know. What waits here is kept.',
  remedy: 'Open the page again. If it stays so, go on with ferrule run in a terminal.',
};

function sessionOf({ document, pack, facts }: Come, queue: readonly Asked[], link: Link): Opened {
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
  const [first, ...others] = facts;
  if (first === undefined) return { opened: 'away' };
  const session = new JobSession(document, pack, plan, [first, ...others], queue);
  // What it comes to is worked out when it is looked at: a form that is not known is to show here.
  void session.offers.value;
  session.link.value = link;
  return { opened: 'session', session };
}

async function fromDevice(job: string): Promise<Come | undefined> {
  const seen = await kept.job(job);
  const pack = seen && (await kept.pack(seen.document.pack.digest));
  return seen === undefined || pack === undefined ? undefined : { ...seen, pack };
}

async function fromServer(job: string): Promise<Called<Come>> {
  if (!canBeAsked(job)) return { came: 'problem', problem: noSuchJob(job) };
  const came = await call<JobDocument>(pathOf(job));
  if (came.came !== 'document') return came;
  const { document } = came;
  const [pack, facts] = await Promise.all([packOf(document.pack.digest), factsOf(job)]);
  if (pack.came !== 'document') return pack;
  if (facts.came !== 'document') return facts;
  return { ...came, document: { document, pack: pack.document, facts: facts.document } };
}

const noSuchJob = (job: string): Problem => ({
  ...{ code: 'no-such-job', title: 'There is no such job in the store', status: 404 },
  detail: `No job can be called ${JSON.stringify(job)}.`,
  remedy: 'The list of jobs has all that there are.',
});

/** A pack never changes under its digest, so what this device has of it is as good as what the server has. */
async function packOf(digest: string): Promise<Called<Pack>> {
  const known = await kept.pack(digest);
  if (known !== undefined) return { came: 'document', document: known };
  const came = await call<{ readonly document: Pack }>(`/bundles/${digest}`);
  if (came.came !== 'document') return came;
  const pack = came.document.document;
  void kept.keepPack(digest, pack);
  return { came: 'document', document: pack };
}

async function factsOf(job: string): Promise<Called<readonly Fact[]>> {
  const all: Fact[] = [];
  for (;;) {
    const came = await call<FactsDocument>(`${pathOf(job)}/facts?after=${all.at(-1)?.seq ?? 0}`);
    if (came.came !== 'document') return came;
    all.push(...came.document.facts);
    if (came.document.more === undefined || came.document.facts.length === 0)
      return { came: 'document', document: all };
  }
}
