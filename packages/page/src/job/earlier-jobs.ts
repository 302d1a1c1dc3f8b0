import { findEntry, type Origin, type Plan, type PlanCarry } from '@ferrule/engine';
import { type Called, call } from '../link/call.ts';
import type { HandedOnDocument, JobSummary, JobsDocument } from '../link/documents.ts';
import { pathOf } from '../link/path-of.ts';
import type { JobSession } from './session.ts';

/** The field that the list of jobs knows engines by; by another one, each job is asked for its own. */
const LISTED = 'engine-serial';
/** The latest jobs that are looked at; one further back is as a rule too old. */
const MOST = 6;

/** From where the value of an entry may be taken over, where the procedure says so. */
export function carryOf(plan: Plan, name: string): PlanCarry | undefined {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  return entry?.entry === 'reading' ? entry.carry : undefined;
}

/** What finished jobs of the right procedure hand on, on the same engine, the latest first. */
export async function earlierJobs(
  session: JobSession,
  { pack, procedure, field }: PlanCarry,
): Promise<Called<readonly Origin[]>> {
  const { plan, folded } = session;
  const engine = folded.value.job.taken[findEntry(plan, field) ?? -1]?.text;
  const query = new URLSearchParams({
    ...{ state: 'closed', pack },
    ...(field === LISTED && engine !== undefined ? { engine } : {}),
  });
  const listed = await call<JobsDocument>(`/jobs?${query}`);
  if (listed.came !== 'document') return listed;
  const latest = listed.document.jobs
    .filter((one) => one.procedure === procedure)
    .sort((a: JobSummary, b: JobSummary) => Date.parse(b.last) - Date.parse(a.last))
    .slice(0, MOST);
  const origins: Origin[] = [];
  for (const { job } of latest) {
    const known = originsIn(session).get(job);
    if (known !== undefined) {
      origins.push(known);
      continue;
    }
    const came = await call<HandedOnDocument>(`${pathOf(job)}/handed-on`);
    if (came.came === 'away') return came;
    // A record that cannot be relied on is none to take over from.
    if (came.came === 'problem') continue;
    originsIn(session).set(job, came.document.origin);
    origins.push(came.document.origin);
  }
  return { came: 'document', document: origins };
}

/** A closed job does not change, so what it hands on is asked for once. */
const known = new WeakMap<JobSession, Map<string, Origin>>();

function originsIn(session: JobSession): Map<string, Origin> {
  const found = known.get(session) ?? new Map<string, Origin>();
  known.set(session, found);
  return found;
}
