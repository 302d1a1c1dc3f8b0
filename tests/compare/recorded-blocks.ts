import {
  type Command,
  decide,
  type Fact,
  type InstrumentUsed,
  type Job,
  offers,
  type Plan,
  start,
} from '@ferrule/engine';
import { canonical } from '@ferrule/signing';

/** A fact as text that can be put into any job: the body, cut where another fact is named by its number. */
export interface RecordedFact {
  readonly by: string;
  readonly body: string;
  /** Of a strike: how many facts before it the struck one stands, and the body behind that number. */
  readonly back?: number;
  readonly rest?: string;
}

/** What the answer to one question came to: a list of batches, each a list of facts. */
export type RecordedBlock = readonly (readonly RecordedFact[])[];

const TECHNICIAN = 'technician A';
const LEAD = 'lead B';
const BROKEN_OFF = 'No time was left (invented).';

export interface Recorded {
  /** The start, and what is confirmed before anything is recorded. */
  readonly opening: RecordedBlock;
  /** What recording each entry led to, until the next is asked for. */
  readonly entries: ReadonlyMap<string, RecordedBlock>;
  readonly closing: RecordedBlock;
  /** What breaking the job off would have added, at any point. */
  readonly brokenOff: RecordedBlock;
}

/**
 * Works one job through with the engine, and keeps its facts by the entry that they belong to. `valueOf` says what is recorded,
 * in order: every value but the last of an entry is struck once it was judged.
 */
export function recordBlocks(
  plan: Plan,
  bundle: string,
  instruments: readonly InstrumentUsed[],
  valuesOf: (entry: string) => readonly string[],
): Recorded {
  let moves = 0;
  const occasion = (by: string) => {
    moves += 1;
    const minutes = String(moves % 60).padStart(2, '0');
    const hours = String(7 + Math.floor(moves / 60)).padStart(2, '0');
    return { at: `2026-01-05T${hours}:${minutes}:00+01:00`, by, id: `m${moves}` };
  };
  const persons = [
    { role: 'technician', person: TECHNICIAN },
    { role: 'lead', person: LEAD },
  ];
  const started = start(plan, { bundle, persons, instruments }, occasion(TECHNICIAN));
  if (started.job === undefined) throw new Error(JSON.stringify(started.refusals));
  let job: Job = started.job;
  const give = (command: Command, by: string = TECHNICIAN): readonly Fact[] => {
    const decided = decide(plan, job, command, occasion(by));
    if (decided.job === undefined) throw new Error(JSON.stringify([command, decided.refusals]));
    job = decided.job;
    return decided.facts;
  };
  const opening: (readonly RecordedFact[])[] = [started.facts.map(textOf)];
  const closing: (readonly RecordedFact[])[] = [];
  const entries = new Map<string, (readonly RecordedFact[])[]>();
  const left = new Map<string, string[]>();
  let block = opening;
  for (;;) {
    const { standing, offers: offered } = offers(plan, job);
    if (standing === 'ready-to-close') {
      closing.push(give({ command: 'close' }).map(textOf));
      break;
    }
    const acknowledge = offered.find((one) => one.offer === 'acknowledge');
    const release = offered.find((one) => one.offer === 'release' && one.by === 'concession');
    const record = offered.find((one) => one.offer === 'record');
    const done = offered.find((one) => one.offer === 'done');
    if (acknowledge?.offer === 'acknowledge')
      block.push(give({ command: 'acknowledge', step: acknowledge.step }).map(textOf));
    else if (release !== undefined)
      block.push(
        give({ command: 'release', by: 'concession', reason: 'It is used once more (invented).' }, LEAD).map(
          textOf,
        ),
      );
    else if (record?.offer === 'record') {
      const { entry } = record;
      const values = left.get(entry) ?? [...valuesOf(entry)];
      left.set(entry, values);
      const [value = '', ...more] = values.splice(0, 1);
      if (more.length > 0) throw new Error('one at a time');
      block = entries.get(entry) ?? [];
      entries.set(entry, block);
      const facts = give({ command: 'record', entry, value, ...namedFor(plan, entry, instruments) });
      block.push(facts.map(textOf));
      const target = facts.find(({ fact }) => fact.kind === 'reading')?.seq;
      if (values.length > 0 && target !== undefined)
        block.push(give({ command: 'strike', target, reason: 'It was misread (invented).' }).map(textOf));
    } else if (done?.offer === 'done') block.push(give({ command: 'done', step: done.step }).map(textOf));
    else throw new Error(`nothing can be done: ${JSON.stringify(offered)}`);
  }
  const broken = decide(plan, started.job, { command: 'abandon', reason: BROKEN_OFF }, occasion(TECHNICIAN));
  if (broken.facts === undefined) throw new Error(JSON.stringify(broken.refusals));
  return { opening, entries, closing, brokenOff: [broken.facts.map(textOf)] };
}

function namedFor(
  plan: Plan,
  entry: string,
  instruments: readonly InstrumentUsed[],
): { readonly instrument?: string } {
  const found = plan.entries.find((one) => one.name === entry);
  if (found?.entry !== 'reading' || found.instrument === undefined) return {};
  const used = instruments.find((one) => one.kind === found.instrument);
  return used === undefined ? {} : { instrument: used.identity };
}

function textOf({ by, seq, fact }: Fact): RecordedFact {
  const body = canonical(fact);
  if (fact.kind !== 'struck') return { by, body };
  const [front, behind, other] = body.split(`"target":${fact.target}`);
  if (front === undefined || behind === undefined || other !== undefined) throw new Error(body);
  return { by, body: `${front}"target":`, back: seq - fact.target, rest: behind };
}
