import type { JobQuery, JobSummary } from './job-summary.ts';
import { type UnknownValue, unknownValue } from './unknown-value.ts';

/**
 * What was asked for by a name that no job of a store has: most likely it is misspelt. Numbers of engines, parts, lots and
 * instruments are no names: that no job has one is an answer.
 */
export function unknownInQuery(query: JobQuery, jobs: readonly JobSummary[]): readonly UnknownValue[] {
  const { pack, revision, person, role, hold, concession, grantedBy } = query;
  const ofPack = jobs.filter((one) => one.pack.id === pack);
  const look = (
    name: keyof JobQuery,
    value: string | undefined,
    says: (value: string) => string,
    among: (one: JobSummary) => readonly string[],
    those = jobs,
  ): readonly UnknownValue[] =>
    value === undefined ? [] : [unknownValue(name, value, those.flatMap(among), says(value)) ?? []].flat();
  return [
    ...look(
      'pack',
      pack,
      (one) => `No job here is of the pack ${one}`,
      (one) => [one.pack.id],
    ),
    ...look(
      'revision',
      revision,
      (one) => `No job here is of the revision ${one}${ofPack.length === 0 ? '' : ` of ${pack}`}`,
      (one) => [one.pack.revision],
      ofPack.length === 0 ? jobs : ofPack,
    ),
    ...look(
      'person',
      person,
      (one) => `Nobody in a job here is called ${one}`,
      (one) => one.persons,
    ),
    ...look(
      'role',
      role,
      (one) => `Nobody in a job here has the role ${one}`,
      (one) => one.roles.map((taken) => taken.role),
    ),
    ...look(
      'hold',
      hold,
      (one) => `No job here has stood at the hold ${one}`,
      (one) => one.holds,
    ),
    ...look(
      'concession',
      concession,
      (one) => `No job here has a concession for ${one}`,
      (one) => one.granted.map(({ of }) => of),
    ),
    ...look(
      'grantedBy',
      grantedBy,
      (one) => `No job here has a concession that ${one} gave`,
      (one) => one.granted.map(({ by }) => by),
    ),
  ];
}
