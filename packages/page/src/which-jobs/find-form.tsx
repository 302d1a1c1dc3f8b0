import { askInAddress } from '../pieces/ask-in-address.ts';
import { AskedDays } from '../pieces/asked-days.tsx';
import { AskedField } from '../pieces/asked-field.tsx';

const states = {
  open: 'being worked on',
  parked: 'parked',
  held: 'on hold',
  closed: 'closed',
  abandoned: 'closed unfinished',
} as const;

/** What is asked for less often stands behind the rest. */
const seldom = ['lot', 'grantedBy', 'pack', 'revision', 'state', 'from', 'until'];

/** What is looked for. What is left empty is not asked. */
export function FindForm({ asked }: { readonly asked: string }) {
  const said = new URLSearchParams(asked);
  return (
    <form
      class="judging find"
      onSubmit={(event) => {
        event.preventDefault();
        askInAddress('find', event.currentTarget);
      }}
    >
      <p class="lead-in find-whole">
        Names and numbers have to be written as they stand in the record. What is filled in all has to apply;
        with nothing filled in, every job of the store is found.
      </p>
      <AskedField name="instrument" label="Instrument, the number on it" said={said} />
      <AskedField name="part" label="Part, its serial number" said={said} />
      <AskedField name="engine" label="Engine, its number" said={said} />
      <AskedField name="person" label="Person" said={said} />
      <AskedField name="hold" label="Hold that was open" said={said} />
      <AskedField name="concession" label="Concession, for what" said={said} />
      <details class="find-whole" open={seldom.some((name) => said.has(name))}>
        <summary>Also by lot, pack, state and day</summary>
        <div class="find-more">
          <AskedField name="lot" label="Lot of a part" said={said} />
          <AskedField name="grantedBy" label="Who gave a concession" said={said} />
          <AskedField name="pack" label="Pack" said={said} />
          <AskedField name="revision" label="Revision" said={said} />
          <label>
            State
            <select name="state" defaultValue={said.get('state') ?? ''}>
              <option value="">any</option>
              {Object.entries(states).map(([state, words]) => (
                <option key={state} value={state} selected={said.get('state') === state}>
                  {words}
                </option>
              ))}
            </select>
          </label>
          <AskedDays said={said} />
        </div>
      </details>
      <button type="submit" class="main find-whole">
        Find the jobs
      </button>
    </form>
  );
}
