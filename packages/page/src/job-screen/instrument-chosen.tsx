import type { InstrumentUsed } from '@ferrule/engine';
import { suitabilityNotes } from '@ferrule/print';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { dueWords } from '../pieces/due-said.tsx';

/** The instruments of a kind that the job has, and the one that is used now: the latest, until another is chosen. */
export function useInstrument({ folded }: JobSession, kind: string | undefined) {
  const instruments = folded.value.job.instruments.filter((one) => one.kind === kind);
  const [chosen, choose] = useState<string>();
  const used = instruments.find(({ identity }) => identity === chosen) ?? instruments.at(-1);
  return { instruments, used, choose } as const;
}

/** With which instrument it is read or tightened: how long that is good, and whether it is fine enough. */
export function InstrumentChosen({
  session,
  kind: id,
  instruments,
  used,
  onChoose,
}: {
  readonly session: JobSession;
  readonly kind: string;
  readonly instruments: readonly InstrumentUsed[];
  readonly used: InstrumentUsed | undefined;
  readonly onChoose: (identity: string) => void;
}) {
  const { plan } = session;
  const title = plan.instruments.find((one) => one.id === id)?.title ?? id;
  // One instrument counts for each kind: the last.
  const others = session.folded.value.job.instruments.filter(({ kind }) => kind !== id);
  const notes = used === undefined ? [] : suitabilityNotes(plan, [...others, used], id);
  return (
    <div class="entry-with">
      {used === undefined ? (
        <p>{title}: none is named in this job.</p>
      ) : (
        <label>
          {title}
          <select value={used.identity} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
            {instruments.map(({ identity, due }) => (
              <option key={identity} value={identity}>
                {identity}
                {due === undefined ? '' : `, ${dueWords(due).words}`}
              </option>
            ))}
          </select>
        </label>
      )}
      {notes.map((note) => (
        <p key={note} class="remedy">
          {note}
        </p>
      ))}
    </div>
  );
}
