import { answersOf, runScript } from '@ferrule/check';
import type { Answers, Fact, Pack, Plan, written } from '@ferrule/engine';
import { type CardDocument, type CardOptions, jobCard } from '@ferrule/print';
import { type Opened, openPack, planOf } from './packs.ts';

/** A job that was played by a scripted person, for its card. */
export interface Played {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly facts: readonly Fact[];
}

interface Script {
  readonly procedure: string;
  readonly variant: string;
  /** The trial whose answers are given where there are no others. */
  readonly like: string;
  readonly answers?: Answers;
  readonly events?: readonly written.TrialEvent[];
}

const opened = new Map<string, Promise<Opened>>();

/** Plays a job of a pack of this checkout. Throws where an event of the script never comes. */
export async function play(name: string, script: Script): Promise<Played> {
  const known = opened.get(name) ?? openPack(name);
  opened.set(name, known);
  const { pack, digest } = await known;
  const { procedure, variant, like, answers: own, events = [] } = script;
  const plan = planOf(pack, procedure, variant);
  const answers = answersOf(pack, { like, ...(own === undefined ? {} : { answers: own }) });
  if (answers === undefined) throw new Error(`${name} has no trial ${like}`);
  const facts: Fact[] = [];
  const { missed } = runScript(plan, answers, {
    bundle: digest,
    events,
    startsAt: '2026-03-02T07:00:00+01:00',
    onFacts: (batch) => facts.push(...batch),
  });
  if (missed.length > 0) throw new Error(missed.join('; '));
  return { plan, pack, facts };
}

export const cardOf = ({ plan, pack, facts }: Played, more: Omit<CardOptions, 'pack'> = {}): CardDocument =>
  jobCard(plan, facts, { pack, ...more });
