import {
  type Offer,
  type OfferedStep,
  type Pack,
  PHASE,
  type Plan,
  type PlanNode,
  progressOf,
} from '@ferrule/engine';
import { entryTitle, roleTitle } from '@ferrule/print';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { TextField } from '../pieces/text-field.tsx';
import { ActForm } from './act-form.tsx';
import { AsideForm } from './aside-form.tsx';
import { EntryForm } from './entry-form.tsx';
import { HazardsShown } from './hazards-shown.tsx';
import { HoldCard } from './hold-card.tsx';
import { peopleWithRole } from './people-with-role.ts';
import { placeOf } from './position-of.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { ResumeForm } from './resume-form.tsx';
import { TimesRunning } from './times-running.tsx';
import { useGiven } from './use-given.ts';
import { WitnessForm } from './witness-form.tsx';

/** What is to be done now, large, with one main action. */
export function StepCard(props: { readonly session: JobSession; readonly actor: string }) {
  const place = useRef<HTMLDivElement>(null);
  const { standing, step, hold, offers } = props.session.offers.value;
  const main = offers.find(isMain);
  const where = `${standing} ${hold?.id ?? ''} ${step?.path ?? ''} ${main?.offer ?? ''}`;
  const before = useRef(where);
  // The button that was pressed is gone with its step: whoever works by keys, or listens, goes on at the next one. With the
  // step and not a frame later, or a key that is pressed meanwhile goes nowhere.
  useLayoutEffect(() => {
    if (before.current === where) return;
    before.current = where;
    if (document.activeElement === null || document.activeElement === document.body)
      place.current?.querySelector<HTMLElement>('h2')?.focus({ preventScroll: true });
    bringIntoSight(place.current);
  }, [where]);
  // A job that is opened is opened at its step.
  useEffect(() => bringIntoSight(place.current), []);
  return <div ref={place}>{cardFor(props)}</div>;
}

/** Where the main action of a step is out of sight, what was just read and the step go to the top; or the step alone, where both are too long. */
function bringIntoSight(card: HTMLElement | null): void {
  const action = card?.querySelector('.main') ?? card;
  if (card === null || action === null) return;
  const { top, bottom } = action.getBoundingClientRect();
  const read = document.querySelector('.just-now') ?? card;
  const begins = read.getBoundingClientRect().top;
  if (begins >= 0 && top >= 0 && bottom <= window.innerHeight) return;
  (bottom - begins <= window.innerHeight ? read : card).scrollIntoView({ block: 'start' });
}

function cardFor({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const offers = session.offers.value;
  switch (offers.standing) {
    case 'closed':
      return <ClosedCard session={session} />;
    case 'on-hold':
      // One hold can follow on another, and what was written for that one is no reason for this.
      return <HoldCard key={`${offers.hold?.step} ${offers.hold?.id}`} session={session} actor={actor} />;
    case 'parked':
      return <ResumeForm session={session} actor={actor} />;
    case 'ready-to-close':
      return <CloseCard session={session} actor={actor} />;
    case 'at-step':
      return offers.step === undefined ? null : (
        <AtStep key={offers.step.path} session={session} actor={actor} step={offers.step} />
      );
  }
}

function AtStep({
  session,
  actor,
  step,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly step: OfferedStep;
}) {
  const { plan, folded } = session;
  const { job } = folded.value;
  const offers = session.offers.value;
  const node = plan.nodes[job.control.at];
  const main = offers.offers.find(isMain);
  const later = entriesAfter(plan, node, offers.offers, main);
  const phase = node === undefined ? undefined : progressOf(plan, job.control, node.index);
  const { head, list } = inHand(step);
  return (
    <article class="step" aria-labelledby="step-title">
      <p class="step-place">{node === undefined ? '' : placeOf(plan, node, step.title).join(' · ')}</p>
      <h2 id="step-title" tabIndex={-1}>
        {head}
      </h2>
      {list.length === 0 ? null : (
        <ul class="in-hand">
          {list.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
      {step.says === undefined ? null : <p class="step-says">{step.says}</p>}
      {step.act?.act === 'turn-to' ? (
        <p class="step-says">The stroke is proved by {step.act.provedBy}</p>
      ) : null}
      <TimesRunning session={session} />
      <HazardsShown hazards={step.hazards} />
      {step.uses.length === 0 ? null : (
        <p class="step-uses">With: {step.uses.map((one) => toolTitle(session.pack, one)).join(', ')}</p>
      )}
      <RefusalsShown plan={plan} refusals={offers.blocked} isAlert={false} />
      {main === undefined ? null : <MainAction session={session} actor={actor} offer={main} />}
      {later.length === 0 ? null : <p class="step-then">Then: {later.join('; ')}</p>}
      {phase === PHASE.deciding && offers.blocked.length === 0 ? (
        <p>This is decided by what was read.</p>
      ) : null}
      <OmitForm session={session} actor={actor} />
    </article>
  );
}

/** What is entered once the main action is done: so that nobody looks for a field before its time. */
function entriesAfter(
  plan: Plan,
  node: PlanNode | undefined,
  offers: readonly Offer[],
  main: Offer | undefined,
): readonly string[] {
  const names =
    main?.offer === 'done' && node?.node === 'step'
      ? node.entries.flatMap((index) => plan.entries[index]?.name ?? [])
      : offers.flatMap((one) => (one.offer === 'record' && one !== main ? [one.entry] : []));
  return names.map((name) => entryTitle(plan, name));
}

/** What has to be in hand before or after the work has a line for each thing. */
function inHand({ path, title }: OfferedStep): { readonly head: string; readonly list: readonly string[] } {
  const [, head, list] =
    (/^(?:preliminary|afterwards)\//.test(path) && /^(In hand[^:]*): (.*)\.$/s.exec(title)) || [];
  return head === undefined || list === undefined
    ? { head: title, list: [] }
    : { head: `${head}:`, list: list.split('; ') };
}

/** A tool, an instrument or a supply by the name that people know it by. */
const toolTitle = ({ equipment, instruments, supplies }: Pack, name: string): string =>
  [equipment, instruments, supplies].flatMap((all) => all?.[name]?.title ?? [])[0] ??
  name.replaceAll('-', ' ');

const isMain = ({ offer }: Offer): boolean =>
  offer === 'acknowledge' || offer === 'done' || offer === 'record' || offer === 'witness';

function MainAction({
  session,
  actor,
  offer,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly offer: Offer;
}) {
  switch (offer.offer) {
    case 'acknowledge':
      return <AcknowledgeForm session={session} actor={actor} step={offer.step} />;
    case 'done':
      return <ActForm session={session} actor={actor} offer={offer} />;
    case 'record':
      return (
        <EntryForm
          key={`${offer.entry} ${offer.repeats?.next ?? 1}`}
          session={session}
          actor={actor}
          offer={offer}
        />
      );
    case 'witness':
      return <WitnessForm session={session} actor={actor} offer={offer} />;
    default:
      return null;
  }
}

function AcknowledgeForm({
  session,
  actor,
  step,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly step: string;
}) {
  const { give, refused } = useGiven(session, actor);
  return (
    <>
      <RefusalsShown plan={session.plan} refusals={refused} />
      <button type="button" class="main" onClick={() => give({ command: 'acknowledge', step })}>
        Read and understood
      </button>
    </>
  );
}

/** A step that may be left out, by whoever the procedure lets say so, with the reason that the card then shows. */
function OmitForm({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const offer = session.offers.value.offers.find((one) => one.offer === 'omit');
  const people = offer?.offer === 'omit' ? peopleWithRole(session, offer.role) : [];
  const [chosen, choose] = useState<string>();
  const [reason, setReason] = useState('');
  if (offer?.offer !== 'omit') return null;
  const { step, role } = offer;
  const by = chosen ?? (people.includes(actor) ? actor : (people[0] ?? actor));
  return (
    <AsideForm
      session={session}
      actor={by}
      title="Does not apply here"
      action="Leave it out"
      command={() => ({ command: 'omit', step, reason })}
    >
      {people.length < 2 ? (
        <p>
          The {roleTitle(session.plan, role).toLowerCase()} says so{people.length === 1 ? `: ${by}` : ''}.
        </p>
      ) : (
        <label>
          Who says so
          <select value={by} onChange={({ currentTarget }) => choose(currentTarget.value)}>
            {people.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </label>
      )}
      <TextField label="Why" value={reason} onValue={setReason} />
    </AsideForm>
  );
}

function CloseCard({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const { give, refused } = useGiven(session, actor);
  const { plan } = session;
  const { offers, blocked } = session.offers.value;
  const canClose = offers.some(({ offer }) => offer === 'close');
  return (
    <article class="step" aria-labelledby="step-title">
      <h2 id="step-title" tabIndex={-1}>
        {canClose ? 'Every step is done' : 'The job cannot be closed yet'}
      </h2>
      <p class="step-says">
        {canClose
          ? 'Look over the record on the card once more. A closed job is not changed any more.'
          : 'Something is not as it has to be in the end:'}
      </p>
      <RefusalsShown plan={plan} refusals={blocked} isAlert={false} />
      <RefusalsShown plan={plan} refusals={refused} />
      {canClose ? (
        <button type="button" class="main" onClick={() => give({ command: 'close' })}>
          Close the job
        </button>
      ) : null}
      <PaperLink class="second" to={paperOf.card(session.document.job)}>
        The job card as it stands
      </PaperLink>
    </article>
  );
}

function ClosedCard({ session }: { readonly session: JobSession }) {
  const { plan, document, folded } = session;
  const last = folded.value.job.facts.at(-1)?.fact;
  const isFinished = last?.kind === 'closed' && last.finished;
  return (
    <article class="step" aria-labelledby="step-title">
      <h2 id="step-title" tabIndex={-1}>
        {isFinished ? 'The job is closed' : 'The job was closed unfinished'}
      </h2>
      {last?.kind === 'closed' && last.reason !== undefined ? <p class="step-says">{last.reason}</p> : null}
      {isFinished && plan.dueNext.length > 0 ? (
        <>
          <h3>Due next</h3>
          <ul>
            {plan.dueNext.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </>
      ) : null}
      <PaperLink class="main" to={paperOf.card(document.job)}>
        Job card
      </PaperLink>
    </article>
  );
}
