import type { Command } from '@ferrule/engine';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/** What a form beside the step is about: the job, who acts, and what to do once the command is taken. */
export interface Beside {
  readonly session: JobSession;
  readonly actor: string;
  readonly onTaken?: () => void;
}

/** A form that opens beside the step and gives one command. What is refused is said in it. */
export function AsideForm({
  session,
  actor,
  onTaken,
  title,
  action,
  command,
  insist,
  children,
}: Beside & {
  readonly title: string;
  readonly action: string;
  readonly command: () => Command;
  /** The same once more, for what is taken only from somebody who insists: after which refusal, and what the button says. */
  readonly insist?: { readonly after: string; readonly action: string; readonly command: () => Command };
  readonly children?: ComponentChildren;
}) {
  const { give, refused } = useGiven(session, actor);
  const [isOpen, setOpen] = useState(false);
  const send = async (asked: Command): Promise<void> => {
    if (await give(asked)) onTaken?.();
  };
  return (
    <details class="aside-form" onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>{title}</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void send(command());
        }}
      >
        {isOpen ? children : null}
        <RefusalsShown plan={session.plan} refusals={refused} />
        <button type="submit" class="second">
          {action}
        </button>
        {insist !== undefined && refused.some(({ code }) => code === insist.after) ? (
          <button type="button" class="second" onClick={() => void send(insist.command())}>
            {insist.action}
          </button>
        ) : null}
      </form>
    </details>
  );
}
