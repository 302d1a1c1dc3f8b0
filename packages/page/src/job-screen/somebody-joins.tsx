import { roleTitle } from '@ferrule/print';
import { useState } from 'preact/hooks';
import { rememberPerson } from '../pieces/remembered.ts';
import { PeopleToPick } from '../pieces/remembered-shown.tsx';
import { TextField } from '../pieces/text-field.tsx';
import { AsideForm, type Beside } from './aside-form.tsx';

/** Somebody takes a role in the job from now on: the one that a step asks for, or any. */
export function SomebodyJoins({ session, actor, onTaken, role: asked }: Beside & { readonly role?: string }) {
  const { plan, folded } = session;
  const [chosen, setRole] = useState(asked ?? plan.roles[0]?.id ?? '');
  const [person, setPerson] = useState('');
  const taking = folded.value.job.persons.filter(({ role }) => role === chosen);
  return (
    <AsideForm
      session={session}
      actor={actor}
      onTaken={() => {
        rememberPerson(person.trim(), chosen);
        setPerson('');
        onTaken?.();
      }}
      title="Somebody joins"
      action="Join"
      command={() => ({ command: 'join', role: chosen, person: person.trim() })}
    >
      <TextField label="Who" value={person} onValue={setPerson} />
      <PeopleToPick role={chosen} onPick={setPerson} but={[person, ...taking.map((one) => one.person)]} />
      {asked !== undefined ? null : (
        <label>
          As
          <select value={chosen} onChange={({ currentTarget }) => setRole(currentTarget.value)}>
            {plan.roles.map(({ id }) => (
              <option key={id} value={id}>
                {roleTitle(plan, id)}
              </option>
            ))}
          </select>
        </label>
      )}
    </AsideForm>
  );
}
