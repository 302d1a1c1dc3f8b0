import { adviceOn, type Fact, type FactBody } from '@ferrule/engine';
import { stripOf, toleranceOf, writeVerdict } from '@ferrule/print';
import { commandOf } from '../job/fold.ts';
import type { JobSession } from '../job/session.ts';
import { factWords } from './fact-words.ts';
import { fewDigits } from './few-digits.ts';
import { StrikeForm } from './strike-form.tsx';
import { ToleranceStripShown } from './tolerance-strip-shown.tsx';
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
  const said = entered ?? struck;
  if (said === undefined && judged === undefined) return null;
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
        <p class="just-said">{said === undefined ? '' : factWords(plan, said)}</p>
      ) : (
        <>
          <p class="verdict-line">
            <VerdictMark verdict={verdict.verdict.verdict} />
            <strong>{verdict.verdict.verdict}</strong>
            {isProvisional ? <em class="provisional">provisional, kept on this device only</em> : null}
          </p>
          <p class="just-said">
            {fewDigits(
              writeVerdict({ plan, pack, facts: job.facts }, verdict.of, verdict.verdict, judged?.seq),
            ).replace(/^[A-Z]+: /, '')}
          </p>
          <Strip session={session} judged={verdict} />
          {advice === undefined ? null : <p class="remedy">{advice}</p>}
        </>
      )}
      {verdict === undefined && isProvisional ? <em class="provisional">not stored yet</em> : null}
      {entered === undefined ? null : (
        <StrikeForm session={session} actor={actor} target={entered} title="That was wrong" />
      )}
    </section>
  );
}

function Strip({ session, judged }: { readonly session: JobSession; readonly judged: Judged }) {
  const tolerance = toleranceOf(session.plan, judged.of);
  const strip = tolerance === undefined ? undefined : stripOf(tolerance, judged.verdict);
  return strip === undefined ? null : <ToleranceStripShown strip={strip} />;
}

/** What a note or a named instrument comes after is still what was done last. */
const asides: readonly FactBody['kind'][] = ['noted', 'equipped', 'allowed', 'out-of-stock', 'joined'];

/** The facts of the last command. A batch has the ids `id.1`, `id.2` … */
function lastBatch(facts: readonly Fact[]): readonly Fact[] {
  const last = facts.findLast(({ fact }) => !asides.includes(fact.kind));
  return last === undefined
    ? []
    : facts
        .slice(Math.max(0, last.seq - 20), last.seq)
        .filter(({ id }) => commandOf(id) === commandOf(last.id));
}

const isEntry = ({ kind }: FactBody): boolean =>
  ['reading', 'carried', 'observed', 'filled', 'identified'].includes(kind);
