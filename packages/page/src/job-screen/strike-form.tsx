import type { Fact } from '@ferrule/engine';
import { entryTitle, stepPlace } from '@ferrule/print';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { strikePreview } from '../job/strike-preview.ts';
import { TextField } from '../pieces/text-field.tsx';
import { AsideForm, type Beside } from './aside-form.tsx';
import { RefusalsShown } from './refusals-shown.tsx';

/** A wrong entry is struck with its reason, and stays visible. What falls with it is shown before. */
export function StrikeForm({
  target,
  title,
  ...beside
}: Beside & { readonly target: Fact; readonly title: string }) {
  const [reason, setReason] = useState('');
  const strike = { command: 'strike', target: target.seq, reason } as const;
  return (
    <AsideForm
      {...beside}
      title={title}
      action="Strike it"
      command={() => strike}
      insist={{
        after: 'no-way-back',
        action: 'Strike it all the same',
        command: () => ({ ...strike, insist: true }),
      }}
    >
      <WhatFalls session={beside.session} actor={beside.actor} target={target} />
      <TextField label="Why it is struck" value={reason} onValue={setReason} />
    </AsideForm>
  );
}

/** More lines than these are counted instead of shown. */
const MOST_LINES = 6;

function WhatFalls({
  session,
  actor,
  target,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly target: Fact;
}) {
  const { plan, folded } = session;
  const preview = strikePreview(plan, folded.value.job, target, (command) => session.wouldBe(actor, command));
  if ('refusals' in preview) return <RefusalsShown plan={plan} refusals={preview.refusals} isAlert={false} />;
  const { falls, opens, goesTo, hold, isStuck } = preview;
  return (
    <div class="falls">
      <p>It stays in the record, and no longer counts.</p>
      <Lines says="With it falls" lines={falls.map((name) => entryTitle(plan, name))} />
      <Lines says="To be done again" lines={opens.map((path) => stepPlace(plan, path))} />
      {goesTo === undefined ? null : <p>The job goes back to {stepPlace(plan, goesTo)}.</p>}
      {hold === undefined ? null : <p>The job is then on hold: {hold}</p>}
      {isStuck ? <p>Nothing leads on from there: the job can only be closed as unfinished.</p> : null}
    </div>
  );
}

function Lines({ says, lines }: { readonly says: string; readonly lines: readonly string[] }) {
  if (lines.length === 0) return null;
  const shown = lines.slice(0, MOST_LINES);
  return (
    <>
      <p>{says}:</p>
      <ul>
        {shown.map((line) => (
          <li key={line}>{line}</li>
        ))}
        {lines.length > shown.length ? <li>and {lines.length - shown.length} more</li> : null}
      </ul>
    </>
  );
}
