import type { JobsDocument } from '../link/documents.ts';
import { useDocument } from './use-document.ts';

/** Jobs that are looked at for the packs that they are of. */
const SOME_JOBS = 100;

/** The packs that jobs of the store are of, by name: where somebody begins who has named none. Empty until that is known. */
export function usePacksOfJobs(): ReadonlySet<string> {
  const { came } = useDocument<JobsDocument>(`/jobs?limit=${SOME_JOBS}`);
  return new Set(came?.came === 'document' ? came.document.jobs.map(({ pack }) => pack.id) : []);
}
