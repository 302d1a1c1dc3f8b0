import { adviceOn, type Fact, type FactBody } from '@ferrule/engine';
import { answerText, entryTitle, readingText, stripOf, toleranceOf, writeVerdict } from '@ferrule/print';
import { useState } from 'preact/hooks';
import { commandOf } from '../job/fold.ts';
import type { JobSession } from '../job/session.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { ToleranceStripShown } from './tolerance-strip-shown.tsx';
import { useGiven } from './use-given.ts';
import { VerdictMark } from './verdict-mark.tsx';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/** What the last command has come to: the verdict with its reason and what to do now. It stays until the next one. */
export function JustNow({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const { plan, pack, folded } = session;
  const { job, stored } = folded.value;
  const batch = lastBatch(job.facts);
  const entered = batch.find(({ fact }) => isEntry(fact));
  const judged = batch.find(({ fact }) => fact.kind === 'judged');
  const struck = batch.find(({ fact }) => fact.kind === 'struck');
  if (entered === undefined && judged === undefined && struck === undefined) return null;
  const isProvisional = batch.some(({ seq }) => seq > stored);
  const verdict = judged?.fact.kind === 'judged' ? judged.fact : undefined;
  const advice = verdict === undefined ? undefined : adviceOn(plan, job, verdict);
  return (
    <section
      class={`just-now ${verdict === undefined ? '' : `verdict-${verdict.verdict.verdict}`}`}
      role="status"
      aria-label="Just now"
    >
      {verdict === undefined ? (
        <p class="just-said">{saysOf(session, entered ?? struck)}</p>
      ) : (
        <>
          <p class="verdict-line">
            <VerdictMark verdict={verdict.verdict.verdict} />
            <strong>{verdict.verdict.verdict}</strong>
            {isProvisional ? <em class="provisional">provisional, kept on this device only</em> : null}
          </p>
          <p class="just-said">
            {writeVerdict({ plan, pack, facts: job.facts }, verdict.of, verdict.verdict, judged?.seq).replace(
              /^[A-Z]+: /,
              '',
            )}
          </p>
          <Strip session={session} judged={verdict} />
          {advice === undefined ? null : <p class="remedy">{advice}</p>}
        </>
      )}
      {verdict === undefined && isProvisional ? <em class="provisional">not stored yet</em> : null}
      {entered === undefined ? null : <StrikeIt session={session} actor={actor} target={entered.seq} />}
    </section>
  );
}

function Strip({ session, judged }: { readonly session: JobSession; readonly judged: Judged }) {
  const tolerance = toleranceOf(session.plan, judged.of);
  const strip = tolerance === undefined ? undefined : stripOf(tolerance, judged.verdict);
  return strip === undefined ? null : <ToleranceStripShown strip={strip} />;
}

/** The facts of the last command. A batch has the ids `id.1`, `id.2` … */
function lastBatch(facts: readonly Fact[]): readonly Fact[] {
  const last = facts.at(-1);
  return last === undefined ? [] : facts.slice(-20).filter(({ id }) => commandOf(id) === commandOf(last.id));
}

const isEntry = ({ kind }: FactBody): boolean =>
  ['reading', 'carried', 'observed', 'filled', 'identified'].includes(kind);

function saysOf({ plan }: JobSession, one: Fact | undefined): string {
  const fact = one?.fact;
  switch (fact?.kind) {
    case 'reading':
    case 'carried':
      return `${entryTitle(plan, fact.entry)}: ${readingText(fact) ?? (fact.kind === 'reading' ? `${fact.digits} ${fact.unit}` : '')}`;
    case 'observed':
      return `${entryTitle(plan, fact.entry)}: ${answerText(plan, fact.entry, fact.answer)}`;
    case 'filled':
      return `${entryTitle(plan, fact.entry)}: ${fact.text}`;
    case 'identified':
      return `${entryTitle(plan, fact.entry)}: ${fact.identity}`;
    case 'struck':
      return `Struck, and kept in the record: ${fact.reason}`;
    default:
      return '';
  }
}

/** A wrong entry is struck with its reason, and stays visible. */
function StrikeIt({
  session,
  actor,
  target,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly target: number;
}) {
  const { give, refused } = useGiven(session, actor);
  const [reason, setReason] = useState('');
  const mustInsist = refused.some(({ code }) => code === 'no-way-back');
  const strike = (insist: boolean): void => {
    give({ command: 'strike', target, reason, ...(insist ? { insist: true } : {}) });
  };
  return (
    <details class="aside-form">
      <summary>That was wrong</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          strike(false);
        }}
      >
        <label>
          Why it is struck
          <input
            value={reason}
            autocomplete="off"
            onInput={({ currentTarget }) => setReason(currentTarget.value)}
          />
        </label>
        <RefusalsShown plan={session.plan} refusals={refused} />
        <button type="submit" class="second">
          Strike it
        </button>
        {mustInsist ? (
          <button type="button" class="second" onClick={() => strike(true)}>
            Strike it all the same
          </button>
        ) : null}
      </form>
    </details>
  );
}
