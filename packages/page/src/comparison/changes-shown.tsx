import type { ComparedChange, ComparisonDocument } from '@ferrule/compare/document';
import { changeGroups } from '@ferrule/print';
import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { Pages } from '../pieces/pages.tsx';
import { ChangeShown } from './change-shown.tsx';
import { type Shelf, shelfOf, shelves, WeightMark } from './weights.tsx';

const CHANGES_AT_ONCE = 100;

const shelfWords: Readonly<Record<Shelf | 'all', string>> = {
  all: 'Everything',
  weaker: 'Protects less',
  safety: 'Safety',
  conformity: 'Conformity',
  work: 'The work',
  wording: 'Wording alone',
  trial: 'Trials',
};

/** Every change in the order of its weight, and less of them by weight and by words. */
export function ChangesShown({
  document,
  begin,
}: {
  readonly document: ComparisonDocument;
  /** The words that are looked for until somebody types others. */
  readonly begin: string;
}) {
  const [shelf, setShelf] = useState<Shelf | 'all'>('all');
  const [sought, setSought] = useState(begin);
  const { changes } = document;
  const shown = useMemo(
    () => changes.filter((one) => (shelf === 'all' || shelfOf(one) === shelf) && says(one, sought)),
    [changes, shelf, sought],
  );
  const groups = useMemo(() => changeGroups({ ...document, changes: shown }), [document, shown]);
  return (
    <>
      <form class="sieve" onSubmit={(event) => event.preventDefault()}>
        <fieldset class="sieve-weights">
          <legend class="unseen">Which changes</legend>
          {(['all', ...shelves] as const).map((one) => {
            const count =
              one === 'all' ? changes.length : changes.filter((each) => shelfOf(each) === one).length;
            return (
              <label key={one} class="sieve-weight">
                <input
                  type="radio"
                  name="shelf"
                  checked={shelf === one}
                  disabled={count === 0}
                  onChange={() => setShelf(one)}
                />
                <WeightMark shelf={one} />
                <span>{shelfWords[one]}</span>
                <b>{count}</b>
              </label>
            );
          })}
        </fieldset>
        <label class="sieve-text">
          Words in the change
          <input
            type="search"
            autocomplete="off"
            value={sought}
            onInput={({ currentTarget }) => setSought(currentTarget.value)}
          />
        </label>
        <p class="sieve-count" role="status">
          {shown.length === changes.length
            ? `${shown.length} ${shown.length === 1 ? 'change' : 'changes'}, trials among them`
            : `${shown.length} of ${changes.length} changes`}
        </p>
      </form>
      {groups.map(({ title, changes: some }) => {
        const all = (
          <Pages all={some} atOnce={CHANGES_AT_ONCE} label={title}>
            {(page) =>
              page.map((one) => (
                <ChangeShown
                  key={`${one.change} ${one.name} ${one.key} ${one.before?.pointer} ${one.after?.pointer}`}
                  change={one}
                  document={document}
                />
              ))
            }
          </Pages>
        );
        return title === 'Trials' ? (
          <Trials key={title} isOpen={shelf === 'trial' || sought !== ''}>
            {all}
          </Trials>
        ) : (
          <section key={title} class="weighed">
            <h2 class={title === 'Protects less' ? 'weighed-weaker' : undefined}>{title}</h2>
            {all}
          </section>
        );
      })}
      {shown.length === 0 && changes.length > 0 ? <p class="empty">No change has these words.</p> : null}
    </>
  );
}

/** Trials are no work: they are there for whoever opens them. */
function Trials({ isOpen, children }: { readonly isOpen: boolean; readonly children: ComponentChildren }) {
  return (
    <details class="weighed" open={isOpen}>
      <summary>
        <h2>Trials</h2>
      </summary>
      <p class="lead-in">
        Trials are jobs that are played through to show what the pack does. They are no work.
      </p>
      {children}
    </details>
  );
}

/** Whether a change has all of the words, wherever they stand in it. */
function says(change: ComparedChange, sought: string): boolean {
  const { says: sentence, name, kind, key, before, after, variants = [] } = change;
  const text = [
    ...[sentence, name, kind, key, change.change, ...variants],
    ...[before, after].flatMap((one) => [one?.says, one?.other, one?.pointer, one?.place?.file]),
  ]
    .join(' ')
    .toLowerCase();
  return sought
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}
