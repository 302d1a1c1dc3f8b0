import { carriedFrom, type Offer, type Origin, writeAge } from '@ferrule/engine';
import { carriedText, nameOf } from '@ferrule/print';
import { wrap } from '../terminal/wrap.ts';
import { askYesNo } from '../terminal/yes-or-no.ts';
import { occasionOf } from './occasion.ts';
import { readOrigin } from './read-origin.ts';
import type { Session } from './session.ts';
import type { Outcome } from './typed-words.ts';

type RecordOffer = Extract<Offer, { offer: 'record' }>;

/** `24.6 bar of 2026-11-20, 5 days old`: what an earlier job would give for a reading now, or why it would not. */
function previewOf(session: Session, entry: string, origin: Origin): ReturnType<typeof carriedFrom> {
  return carriedFrom(session.plan, session.job, entry, origin, occasionOf(session.acting).at);
}

/** From where the value may be taken over; from the job that was named before, what it would be. */
export function sayCarry(session: Session, { entry, carry }: RecordOffer): void {
  if (carry === undefined) return;
  const { origin } = session;
  const carried = origin === undefined ? undefined : previewOf(session, entry, origin).carried;
  const says =
    carried === undefined
      ? `may be taken over instead: ${nameOf(carry.value)} of a finished job, ${nameOf(carry.procedure)} (${carry.pack}), on the same engine and at most ${carry.validFor} old. Type carry and the path of its record; or measure, and type the value`
      : `take over ${carried.digits} ${carried.unit} of ${carried.from.at.slice(0, 10)}, ${writeAge(carried.from.at, occasionOf(session.acting).at)} old, from the job ${carried.from.job}? Type carry; or measure, and type the value`;
  session.say(wrap(says, '    ', '      '));
}

/** Takes the value of a reading over from a closed job: of the record at the path that was typed, or of the one before. */
export async function takeOver(session: Session, offer: RecordOffer, typed: string): Promise<Outcome> {
  const say = (text: string): Outcome => {
    session.say(wrap(text, '  '));
    return 'go-on';
  };
  if (offer.carry === undefined)
    return say('This is not taken over from another job. Measure, and type the value.');
  const path = typed.trim().replace(/^(["'])(.*)\1$/, '$2');
  if (path !== '') {
    const read = await readOrigin(path, session.shelf);
    if (read.wrong !== undefined) return say(`${read.wrong} Nothing was taken over.`);
    session.origin = read.origin;
  }
  const { origin } = session;
  if (origin === undefined) return say('Say from which job: carry and the path of its record, jobs/….jsonl.');
  const { carried, refusals } = previewOf(session, offer.entry, origin);
  if (carried === undefined) {
    session.refuse(refusals);
    return 'go-on';
  }
  say(`Take over ${carriedText(carried, occasionOf(session.acting).at)}?`);
  const answer = await askYesNo(session.reader, '  yes or no? > ', (line) => session.say(line));
  if (answer !== true) return say('Nothing was taken over. Measure, and type the value.');
  session.give({ command: 'carry', entry: offer.entry, origin });
  return 'go-on';
}
