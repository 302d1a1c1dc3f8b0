import type { InstrumentUsed } from '@ferrule/engine';
import { DueSaid } from './due-said.tsx';
import { forgetInstrument, forgetPerson, instrumentsOfKind, peopleFor, remembered } from './remembered.ts';

/** People who were named here before, to be taken by one touch. */
export function PeopleToPick({
  role,
  onPick,
  but = [],
}: {
  readonly role: string;
  readonly onPick: (person: string) => void;
  /** Those who are named already. */
  readonly but?: readonly string[];
}) {
  const people = peopleFor(role).filter((one) => !but.includes(one));
  if (people.length === 0) return null;
  return (
    <div class="picks">
      {people.map((person) => (
        <button key={person} type="button" class="pick" onClick={() => onPick(person)}>
          {person}
        </button>
      ))}
    </div>
  );
}

/** Instruments of a kind that were named here before, each with how long its calibration is good. */
export function InstrumentsToPick({
  kind,
  onPick,
  but = [],
}: {
  readonly kind: string;
  readonly onPick: (used: InstrumentUsed) => void;
  readonly but?: readonly string[];
}) {
  const found = instrumentsOfKind(kind).filter(({ identity }) => !but.includes(identity));
  if (found.length === 0) return null;
  return (
    <div class="picks">
      {found.map((used) => (
        <button key={used.identity} type="button" class="pick" onClick={() => onPick(used)}>
          <span>{used.identity}</span>
          {used.due === undefined ? null : <DueSaid due={used.due} />}
        </button>
      ))}
    </div>
  );
}

/** All that is remembered on this device, each to be forgotten. */
export function RememberedHere() {
  const { people, instruments } = remembered.value;
  if (people.length + instruments.length === 0) return null;
  return (
    <details class="aside-form">
      <summary>Remembered on this device</summary>
      <p class="entry-hint">People and instruments that were named here. They stand in jobs all the same.</p>
      <ul class="forgettable">
        {people.map(({ person }) => (
          <li key={`person ${person}`}>
            <span>{person}</span>
            <Forget what={person} onForget={() => forgetPerson(person)} />
          </li>
        ))}
        {instruments.map((used) => (
          <li key={`${used.kind} ${used.identity}`}>
            <span>
              {used.identity}, {used.kind.replaceAll('-', ' ')}{' '}
              {used.due === undefined ? null : <DueSaid due={used.due} />}
            </span>
            <Forget what={used.identity} onForget={() => forgetInstrument(used)} />
          </li>
        ))}
      </ul>
    </details>
  );
}

function Forget({ what, onForget }: { readonly what: string; readonly onForget: () => void }) {
  return (
    <button type="button" class="plain" onClick={onForget}>
      Forget<span class="unseen"> {what}</span>
    </button>
  );
}
