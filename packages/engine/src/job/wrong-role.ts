import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';

/** A refusal when a person does not have a role in this job. */
export function wrongRole(job: Job, person: string, role: string): Refusal | undefined {
  const roles = job.persons;
  if (roles.some((one) => one.person === person && one.role === role)) return undefined;
  const holders = roles.filter((one) => one.role === role).map((one) => one.person);
  return {
    code: 'wrong-role',
    message: `${person} is not ${role} in this job.`,
    remedy:
      holders.length === 0
        ? `Nobody is; the job has to be started with one.`
        : `Ask ${holders.join(' or ')}.`,
    about: role,
  };
}
