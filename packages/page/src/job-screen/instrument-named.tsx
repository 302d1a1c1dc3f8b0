import { useState } from 'preact/hooks';
import { InstrumentFields, type InstrumentTyped, instrumentTyped } from '../pieces/instrument-fields.tsx';
import { rememberInstrument } from '../pieces/remembered.ts';
import { AsideForm, type Beside } from './aside-form.tsx';

/** An instrument is used from now on: of the kind that a step asks for, or of any that the procedure knows. */
export function InstrumentNamed({
  session,
  actor,
  onTaken,
  kind: asked,
}: Beside & { readonly kind?: string }) {
  const { instruments } = session.plan;
  const [chosen, setChosen] = useState(asked ?? instruments[0]?.id ?? '');
  const [typed, setTyped] = useState<InstrumentTyped>({});
  const kind = instruments.find(({ id }) => id === chosen);
  if (kind === undefined) return null;
  const instrument = instrumentTyped(chosen, typed) ?? { kind: chosen, identity: '' };
  return (
    <AsideForm
      session={session}
      actor={actor}
      onTaken={() => {
        rememberInstrument(instrument);
        setTyped({});
        onTaken?.();
      }}
      title={asked === undefined ? 'Name an instrument' : `Name a ${kind.title.toLowerCase()}`}
      action="Name it"
      command={() => ({ command: 'equip', instrument })}
    >
      {asked !== undefined ? null : (
        <label>
          Kind
          <select
            value={chosen}
            onChange={({ currentTarget }) => {
              setChosen(currentTarget.value);
              setTyped({});
            }}
          >
            {instruments.map(({ id, title }) => (
              <option key={id} value={id}>
                {title}
              </option>
            ))}
          </select>
        </label>
      )}
      <InstrumentFields
        kind={chosen}
        title={kind.title}
        calibrated={kind.calibrated}
        typed={typed}
        onTyped={setTyped}
        but={session.folded.value.job.instruments.map(({ identity }) => identity)}
      />
    </AsideForm>
  );
}
