import type { Command, Refusal } from '@ferrule/engine';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';

/** How long something that has to be stored at once waits for what was given before it, in milliseconds. */
const PATIENCE = 3000;

/** Gives commands, and remembers why the last one was not taken until the next is given. */
export function useGiven(session: JobSession, actor: string) {
  const [refused, setRefused] = useState<readonly Pick<Refusal, 'code' | 'message' | 'remedy'>[]>([]);
  const give = async (command: Command, by = actor): Promise<boolean> => {
    let given = session.give(by, command);
    // What was done a moment before is just being stored.
    if (given.given === 'withheld' && (await session.settled(PATIENCE))) given = session.give(by, command);
    switch (given.given) {
      case 'taken':
        setRefused([]);
        return true;
      case 'refused':
        setRefused(given.refusals);
        return false;
      case 'withheld':
        setRefused([{ code: 'not-offered', message: given.because, remedy: '' }]);
        return false;
    }
  };
  return { give, refused, forget: () => setRefused([]) } as const;
}
