import { findEntry, type Offer, type Plan } from '@ferrule/engine';
import { entryTitle, repeatsAsked, repeatsSoFar } from '@ferrule/print';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { AllowForm } from './allow-form.tsx';
import { CarryForm } from './carry-form.tsx';
import { InstrumentChosen, useInstrument } from './instrument-chosen.tsx';
import { InstrumentNamed } from './instrument-named.tsx';
import { RefusalsShown } from './refusals-shown.tsx';
import { unitsToChoose } from './units-to-choose.ts';
import { useGiven } from './use-given.ts';

/** No title of an entry is longer. */
const LONGEST = 2000;

type RecordOffer = Extract<Offer, { offer: 'record' }>;

interface FormOf {
  readonly session: JobSession;
  readonly actor: string;
  readonly offer: RecordOffer;
}

/** What is to be read, looked at, or written down now. */
export function EntryForm(props: FormOf) {
  switch (props.offer.of) {
    case 'observation':
      return <AnswerForm {...props} />;
    case 'reading':
      return <ReadingForm {...props} />;
    case 'field':
    case 'identity':
      return <TextForm {...props} />;
  }
}

function ReadingForm({ session, actor, offer }: FormOf) {
  const { plan } = session;
  const { give, refused, forget } = useGiven(session, actor);
  const [typed, setTyped] = useState('');
  const units = unitsFor(plan, offer);
  const [unit, setUnit] = useState(offer.unit ?? '');
  const { instruments, used, choose } = useInstrument(session, offer.instrument);
  const [held, setHeld] = useState(false);
  const input = useFocus();
  const record = (): void => {
    const text = typed.trim();
    // A unit that was typed with the value counts, and nothing is no value with a unit.
    const value = text === '' || unit === '' || /[^\d.,+\-−\s]/.test(text) ? text : `${text} ${unit}`;
    give({
      command: 'record',
      entry: offer.entry,
      value,
      ...(used === undefined ? {} : { instrument: used.identity }),
      ...(held ? { held: true } : {}),
    });
  };
  return (
    <div class="entry">
      <form
        class="entry"
        onSubmit={(event) => {
          event.preventDefault();
          record();
        }}
      >
        <label class="entry-title" for="entry">
          {entryTitle(session.plan, offer.entry, LONGEST)}
          {offer.repeats === undefined ? '' : `, reading ${offer.repeats.next} of ${offer.repeats.of}`}
        </label>
        {offer.limits === undefined ? null : <p class="entry-limits">{offer.limits}</p>}
        {offer.repeats === undefined ? null : (
          <p class="entry-hint">{[repeatsAsked(offer.repeats), ...repeatsSoFar(offer.repeats)].join('; ')}</p>
        )}
        <div class="entry-row">
          <input
            id="entry"
            ref={input}
            class="value"
            inputMode="decimal"
            autocomplete="off"
            enterkeyhint="done"
            value={typed}
            onInput={({ currentTarget }) => setTyped(currentTarget.value)}
            aria-describedby="entry-hint"
          />
          {units.length < 2 ? (
            <span class="unit">{unit}</span>
          ) : (
            <select
              class="unit"
              aria-label="Unit"
              value={unit}
              onChange={({ currentTarget }) => setUnit(currentTarget.value)}
            >
              {units.map((one) => (
                <option key={one} value={one}>
                  {one}
                </option>
              ))}
            </select>
          )}
        </div>
        <p id="entry-hint" class="entry-hint">
          {offer.plausible === undefined
            ? ''
            : `Plausible from ${offer.plausible[0]} to ${offer.plausible[1]}.`}
        </p>
        {offer.instrument === undefined ? null : (
          <InstrumentChosen
            session={session}
            kind={offer.instrument}
            instruments={instruments}
            used={used}
            onChoose={choose}
          />
        )}
        {offer.throughout === undefined ? null : (
          <label class="check">
            <input
              type="checkbox"
              checked={held}
              onChange={({ currentTarget }) => setHeld(currentTarget.checked)}
            />
            <span>Held throughout: {offer.throughout.join('; ')}</span>
          </label>
        )}
        <RefusalsShown plan={plan} refusals={refused} />
        <button type="submit" class="main">
          Enter
        </button>
      </form>
      <AllowForm session={session} actor={actor} refused={refused} onAllowed={forget} />
      {offer.instrument === undefined ? null : (
        <InstrumentNamed session={session} actor={actor} kind={offer.instrument} />
      )}
      {offer.carry === undefined ? null : <CarryForm session={session} actor={actor} entry={offer.entry} />}
    </div>
  );
}

/** The units that can be chosen; none where a value has none. */
function unitsFor(plan: Plan, { entry: name, unit }: RecordOffer): readonly string[] {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  if (entry?.entry !== 'reading' || unit === undefined || unit === '') return [];
  return unitsToChoose(entry);
}

function AnswerForm({ session, actor, offer }: FormOf) {
  const { give, refused } = useGiven(session, actor);
  const [answer, setAnswer] = useState<string>();
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        give({ command: 'record', entry: offer.entry, value: answer ?? '' });
      }}
    >
      <fieldset class="answers">
        <legend class="entry-title">{entryTitle(session.plan, offer.entry, LONGEST)}</legend>
        {(offer.answers ?? []).map(({ id, text }) => (
          <label key={id} class="answer">
            <input
              type="radio"
              name="answer"
              value={id}
              checked={answer === id}
              onChange={() => setAnswer(id)}
            />
            <span>{text}</span>
          </label>
        ))}
      </fieldset>
      <RefusalsShown plan={session.plan} refusals={refused} />
      <button type="submit" class="main" disabled={answer === undefined}>
        Enter
      </button>
    </form>
  );
}

function TextForm({ session, actor, offer }: FormOf) {
  const { give, refused } = useGiven(session, actor);
  const [typed, setTyped] = useState('');
  const input = useFocus();
  const isUnexpected = refused.some(({ code }) => code === 'unexpected-identity');
  const record = (insist: boolean): void => {
    give({
      command: 'record',
      entry: offer.entry,
      value: typed.trim(),
      ...(insist ? { insist: true } : {}),
    });
  };
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        record(false);
      }}
    >
      <label class="entry-title" for="entry">
        {entryTitle(session.plan, offer.entry, LONGEST)}
      </label>
      <input
        id="entry"
        ref={input}
        class={offer.of === 'identity' ? 'value' : 'words'}
        autocomplete="off"
        autocapitalize={offer.of === 'identity' ? 'characters' : 'sentences'}
        enterkeyhint="done"
        value={typed}
        onInput={({ currentTarget }) => setTyped(currentTarget.value)}
      />
      {offer.example === undefined ? null : <p class="entry-hint">For example {offer.example}</p>}
      <RefusalsShown plan={session.plan} refusals={refused} />
      {isUnexpected ? (
        <button type="button" class="second" onClick={() => record(true)}>
          It really bears this number
        </button>
      ) : null}
      <button type="submit" class="main">
        Enter
      </button>
    </form>
  );
}

/** A field that takes what is typed as soon as it is there, where that does not open a keyboard over the page unasked. */
function useFocus() {
  const input = useRef<HTMLInputElement>(null);
  useLayoutEffect(() => {
    if (matchMedia('(pointer: fine)').matches) input.current?.focus({ preventScroll: true });
  }, []);
  return input;
}
