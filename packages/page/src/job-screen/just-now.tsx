import { adviceOn, type Fact, type FactBody } from '@ferrule/engine';
import { derivationOf, stripOf, toleranceOf, whatFollows, writeVerdict } from '@ferrule/print';
import { commandOf } from '../job/fold.ts';
import type { JobSession } from '../job/session.ts';
import { factWords } from './fact-words.ts';
import { fewDigits } from './few-digits.ts';
import { StrikeForm } from './strike-form.tsx';
import { ToleranceStripShown } from './tolerance-strip-shown.tsx';
import { useLate } from './use-late.ts';
import { VerdictMark } from './verdict-mark.tsx';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/** The worst first: one entry can bring several verdicts, and none of them hides behind another. */
const gravity = ['nonconforming', 'inconclusive', 'conforming'] as const;

/** What the last command has come to: each verdict with its reason and what to do now. It stays until the next one. */
export function JustNow({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const { plan, folded } = session;
  const { job, stored } = folded.value;
  const batch = lastBatch(job.facts);
  const isUnstored = batch.some(({ seq }) => seq > stored);
  const last = job.facts.at(-1);
  const waits = isUnstored || (last !== undefined && last.seq > stored);
  const isLate = useLate(waits);
  const isKeptHere = waits && (isLate || session.link.value === 'away');
  const isProvisional = isUnstored && isKeptHere;
  const entered = batch.find(({ fact }) => isEntry(fact));
  const said = entered ?? batch.find(({ fact }) => fact.kind === 'struck' || fact.kind === 'released');
  const judged = batch.flatMap(({ seq, fact }) => (fact.kind === 'judged' ? [{ seq, fact }] : []));
  const worst = gravity.find((word) => judged.some(({ fact }) => fact.verdict.verdict === word));
  const noted = last?.fact.kind === 'noted' ? factWords(plan, last) : undefined;
  if (said === undefined && worst === undefined && noted === undefined) return null;
  return (
    <section
      class={`just-now ${worst === undefined ? '' : `verdict-${worst}`}`}
      role="status"
      aria-label="Just now"
    >
      {worst === undefined && said !== undefined ? <p class="just-said">{factWords(plan, said)}</p> : null}
      {judged
        .toSorted((a, b) => gravityOf(a.fact) - gravityOf(b.fact))
        .map(({ seq, fact }) => (
          <VerdictSaid key={seq} session={session} judged={fact} seq={seq} isProvisional={isProvisional} />
        ))}
      {noted === undefined ? null : <p class="just-said">{noted}</p>}
      {worst === undefined && isKeptHere ? <em class="provisional">not stored yet</em> : null}
      {isKeptHere ? <p class="just-said">Its time in the record will be that of storing it.</p> : null}
      {entered === undefined ? null : (
        <StrikeForm
          key={entered.seq}
          session={session}
          actor={actor}
          target={entered}
          title="That was wrong"
        />
      )}
    </section>
  );
}

const gravityOf = ({ verdict: { verdict } }: Judged): number => gravity.indexOf(verdict);

/** One verdict: the word with its mark, the sentence, the value between its limits, and what to do now. */
function VerdictSaid({
  session,
  judged,
  seq,
  isProvisional,
}: {
  readonly session: JobSession;
  readonly judged: Judged;
  readonly seq: number;
  readonly isProvisional: boolean;
}) {
  const { plan, folded } = session;
  const advice = adviceOn(plan, folded.value.job, judged);
  const { verdict } = judged.verdict;
  const follows = whatFollows(plan, folded.value.job, judged);
  return (
    <>
      <p class="verdict-line">
        <VerdictMark verdict={verdict} />
        <strong>{verdict}</strong>
        {isProvisional ? <em class="provisional">provisional, kept on this device only</em> : null}
      </p>
      <Said session={session} judged={judged} before={seq} />
      <Strip session={session} judged={judged} />
      {advice === undefined ? null : <p class="remedy">{advice}</p>}
      {follows === undefined ? null : <p class="just-said">Now: {follows}</p>}
    </>
  );
}

/** The verdict in a sentence; how a value is worked out can be long, and is looked at on request. */
function Said({
  session: { plan, pack, folded },
  judged: { of, verdict },
  before,
}: {
  readonly session: JobSession;
  readonly judged: Judged;
  readonly before: number;
}) {
  const telling = { plan, pack, facts: folded.value.job.facts };
  const tolerance = toleranceOf(plan, of);
  const derived = tolerance === undefined ? undefined : derivationOf(telling, tolerance, before);
  const sentence = fewDigits(writeVerdict(telling, of, verdict, before)).replace(/^[A-Z]+: /, '');
  const worked = fewDigits(derived?.withValues ?? '');
  return (
    <>
      <p class="just-said">{worked === '' ? sentence : sentence.replace(` = ${worked}`, '')}</p>
      {worked === '' || derived === undefined ? null : (
        <details class="aside-form">
          <summary>How it is worked out</summary>
          <p>
            {derived.title ?? derived.name} = {derived.formula}
          </p>
          <p>= {worked}</p>
        </details>
      )}
    </>
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
