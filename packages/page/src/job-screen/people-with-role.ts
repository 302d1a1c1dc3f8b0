import { roleTitle } from '@ferrule/print';
import type { JobSession } from '../job/session.ts';

/** Who has a role in the job. */
export const peopleWithRole = ({ folded }: JobSession, role: string): readonly string[] => [
  ...new Set(folded.value.job.persons.filter((one) => one.role === role).map(({ person }) => person)),
];

/** A person with the role in which something is said: `C. Lead (service-engineering lead)`. */
export const personInRole = ({ plan }: JobSession, person: string, role: string): string =>
  `${person} (${roleTitle(plan, role).toLowerCase()})`;
