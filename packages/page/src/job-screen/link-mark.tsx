import type { JobSession } from '../job/session.ts';
import { useLate } from './use-late.ts';

/** Whether everything is stored: in words and with a mark, for what is not stored can be lost with the device. */
export function LinkMark({ session }: { readonly session: JobSession }) {
  const waiting = session.queue.value.length + (session.conflict.value?.waiting.length ?? 0);
  const isAway = session.link.value === 'away';
  const isLate = useLate(waiting > 0 && !isAway);
  const isOpen = isAway || isLate;
  const words =
    waiting === 0
      ? isAway
        ? 'server not reached'
        : 'all stored'
      : !isOpen
        ? 'being stored'
        : `${waiting} not stored${session.canKeep.value ? ', kept here' : ', NOT KEPT: leave this page open'}`;
  return (
    <p class={`link ${isOpen ? 'link-open' : ''}`} role="status">
      <svg viewBox="0 0 20 20" aria-hidden="true">
        <path d="M3 7h14M3 13h14" />
        {isOpen || waiting > 0 ? null : <path d="M7 3v14M13 3v14" />}
      </svg>
      <span>{words}</span>
    </p>
  );
}
