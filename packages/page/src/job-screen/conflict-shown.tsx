import type { Command } from '@ferrule/engine';
import { entryTitle, stepTitle } from '@ferrule/print';
import type { Conflict, JobSession } from '../job/session.ts';
import { RefusalsShown } from './refusals-shown.tsx';

/** Somebody else was quicker: what was done here does not fit any more, and a person says what becomes of it. */
export function ConflictShown({
  session,
  conflict: { waiting, refusals, since },
}: {
  readonly session: JobSession;
  readonly conflict: Conflict;
}) {
  const { plan } = session;
  const [first, ...others] = waiting;
  const people = [...new Set(since.map(({ by }) => by))];
  if (first === undefined) return null;
  return (
    <section class="conflict" role="alert">
      <h2>{since.length === 0 ? 'This was not stored' : 'The job went on elsewhere'}</h2>
      {since.length === 0 ? null : (
        <p>
          {people.join(' and ')} added {since.length === 1 ? 'a fact' : `${since.length} facts`} meanwhile.
          This was not stored:
        </p>
      )}
      <p class="waiting-command">{writeCommand(session, first.command)}</p>
      <RefusalsShown plan={plan} refusals={refusals} isAlert={false} />
      {others.length === 0 ? null : <p>And {others.length} after it.</p>}
      <button type="button" class="main" onClick={() => session.giveAgain()}>
        It still holds: give it again
      </button>
      <button type="button" class="second" onClick={() => session.leaveOut()}>
        Leave it out
      </button>
    </section>
  );
}

/** A command in words, for a person who has to decide about it. */
function writeCommand({ plan }: JobSession, command: Command): string {
  switch (command.command) {
    case 'record':
      return `${entryTitle(plan, command.entry)}: ${command.value}`;
    case 'carry':
      return `${entryTitle(plan, command.entry)}: taken over from ${command.origin.job}`;
    case 'acknowledge':
      return `Hazards understood: ${stepTitle(plan, command.step)}`;
    case 'done':
      return `Done: ${stepTitle(plan, command.step)}`;
    case 'omit':
      return `Does not apply: ${stepTitle(plan, command.step)}`;
    case 'note':
      return `Note: ${command.text}`;
    case 'strike':
      return `Fact ${command.target} is struck: ${command.reason}`;
    case 'park':
      return `Parked: ${command.reason}`;
    case 'equip':
      return `Instrument ${command.instrument.identity}`;
    case 'join':
      return `${command.person} joins`;
    case 'out-of-stock':
      return `${command.stock}, ${command.size}: ${command.back === true ? 'in stock again' : 'out of stock'}`;
    default:
      return command.command;
  }
}
