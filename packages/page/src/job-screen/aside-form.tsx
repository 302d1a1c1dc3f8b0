import type { Command } from '@ferrule/engine';
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/** What a form beside the step is about: the job, who acts, and what to do once the command is taken. */
export interface Beside {
  readonly session: JobSession;
  readonly actor: string;
  readonly onTaken?: () => void;
}

/**
 * A form that opens beside the step and gives one command. What is refused is said in it, until it is folded up. What was typed is
 * still there when it is opened again; it folds up by itself once the command is taken.
 */
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
  const { give, refused, forget } = useGiven(session, actor);
  const place = useRef<HTMLDetailsElement>(null);
  const [isOpen, setOpen] = useState(false);
  const fold = (): void => {
    const details = place.current;
    if (details === null) return;
    const hadFocus = details.contains(document.activeElement);
    details.open = false;
    // The button that was pressed is out of reach now: whoever works by keys goes on at the title.
    if (hadFocus) details.querySelector('summary')?.focus({ preventScroll: true });
  };
  const send = async (asked: Command): Promise<void> => {
    if (!(await give(asked))) return;
    fold();
    onTaken?.();
  };
  return (
    <details
      ref={place}
      class="aside-form"
      onToggle={({ currentTarget }) => {
        setOpen(currentTarget.open);
        if (!currentTarget.open) forget();
      }}
    >
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
