import { addressOf, goTo } from '../address.ts';

/** What jobs can be found by: the name of the query, and its label. */
const first = {
  instrument: 'Instrument, the number on it',
  part: 'Part, its serial number',
  engine: 'Engine, its number',
  person: 'Person',
  hold: 'Hold that was open',
  concession: 'Concession for the hold or instrument',
} as const;

const further = {
  lot: 'Lot of a part',
  grantedBy: 'Person who gave a concession',
  pack: 'Pack',
  revision: 'Revision',
} as const;

const states = {
  open: 'being worked on',
  parked: 'parked',
  held: 'on hold',
  closed: 'closed',
  abandoned: 'closed unfinished',
} as const;

const furtherNames = [...Object.keys(further), 'state', 'from', 'until'];

/** What is looked for. What is left empty is not asked. */
export function FindForm({ asked }: { readonly asked: string }) {
  const said = new URLSearchParams(asked);
  const field = ([name, label]: readonly [string, string]) => (
    <label key={name}>
      {label}
      <input name={name} autocomplete="off" maxLength={200} defaultValue={said.get(name) ?? ''} />
    </label>
  );
  return (
    <form
      class="judging find"
      onSubmit={(event) => {
        event.preventDefault();
        const wanted = new URLSearchParams();
        for (const [name, value] of new FormData(event.currentTarget))
          if (typeof value === 'string' && value.trim() !== '') wanted.set(name, value.trim());
        goTo(`${addressOf('find')}?${wanted}`);
      }}
    >
      <p class="lead-in find-whole">
        Names and numbers have to be written as they stand in the record. What is filled in all has to apply.
      </p>
      {Object.entries(first).map(field)}
      <details class="find-whole" open={furtherNames.some((name) => said.has(name))}>
        <summary>Also by lot, pack, state and day</summary>
        <div class="find-more">
          {Object.entries(further).map(field)}
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
          <label>
            From the day
            <input name="from" type="date" defaultValue={said.get('from') ?? ''} />
          </label>
          <label>
            Until the day
            <input name="until" type="date" defaultValue={said.get('until') ?? ''} />
          </label>
        </div>
      </details>
      <button type="submit" class="main find-whole">
        Find the jobs
      </button>
    </form>
  );
}
