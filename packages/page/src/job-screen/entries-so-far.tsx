import { useState } from 'preact/hooks';
import { strikable } from '../job/strike-preview.ts';
import { localTime } from '../pieces/local-time.ts';
import type { Beside } from './aside-form.tsx';
import { factWords } from './fact-words.ts';
import { StrikeForm } from './strike-form.tsx';

/** As many as can be looked through at a glance; the others on request. */
const FIRST_SHOWN = 12;

/** What was entered and done so far, the latest first. Whatever was wrong can be struck, however long ago. */
export function EntriesSoFar(beside: Beside) {
  const { plan, folded } = beside.session;
  const [isAll, setAll] = useState(false);
  const [isOpen, setOpen] = useState(false);
  return (
    <details class="aside-form" onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>An earlier entry was wrong</summary>
      {isOpen ? (
        <Listed
          {...beside}
          facts={strikable(plan, folded.value.job)}
          most={isAll ? Number.POSITIVE_INFINITY : FIRST_SHOWN}
          onAll={() => setAll(true)}
        />
      ) : null}
    </details>
  );
}

function Listed({
  facts,
  most,
  onAll,
  ...beside
}: Beside & {
  readonly facts: ReturnType<typeof strikable>;
  readonly most: number;
  readonly onAll: () => void;
}) {
  const { plan } = beside.session;
  if (facts.length === 0) return <p>There is nothing that can be struck.</p>;
  return (
    <>
      <ul class="entries">
        {facts.slice(0, most).map((fact) => (
          <li key={fact.seq}>
            <StrikeForm {...beside} target={fact} title={factWords(plan, fact) ?? ''} />
            <p class="entry-hint">
              {fact.by}, {localTime(fact.at)}
            </p>
          </li>
        ))}
      </ul>
      {facts.length > most ? (
        <button type="button" class="second" onClick={onAll}>
          All {facts.length}
        </button>
      ) : null}
    </>
  );
}
