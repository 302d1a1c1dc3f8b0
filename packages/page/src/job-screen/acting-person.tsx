import { roleTitle } from '@ferrule/print';
import type { Signal } from '@preact/signals';
import type { JobSession } from '../job/session.ts';
import { onDevice } from '../link/text-store.ts';

const keyOf = (job: string): string => `ferrule-person ${job}`;

/** Who used this device last on a job, or the first person of it. */
export function actingPerson(job: string, persons: readonly { readonly person: string }[]): string {
  const kept = onDevice.get(keyOf(job));
  return persons.find(({ person }) => person === kept)?.person ?? persons[0]?.person ?? '';
}

/** Who is doing this: every fact bears a name. */
export function ActingPerson({
  session: { plan, document, folded },
  actor,
}: {
  readonly session: JobSession;
  readonly actor: Signal<string>;
}) {
  const people = [...new Set(folded.value.job.persons.map(({ person }) => person))];
  return (
    <label class="acting">
      <span>Done by</span>
      <select
        value={actor.value}
        onChange={({ currentTarget: { value } }) => {
          actor.value = value;
          onDevice.set(keyOf(document.job), value);
        }}
      >
        {people.map((person) => (
          <option key={person} value={person}>
            {person} (
            {folded.value.job.persons
              .filter((one) => one.person === person)
              .map(({ role }) => roleTitle(plan, role))
              .join(', ')}
            )
          </option>
        ))}
      </select>
    </label>
  );
}
