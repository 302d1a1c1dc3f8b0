import {
  type Answers,
  type Command,
  findEntry,
  type InstrumentUsed,
  type Job,
  type Offer,
  type Offers,
  type Origin,
  type Plan,
} from '@ferrule/engine';
import { answerNames } from './answers.ts';
import { originAnswered } from './carried-answer.ts';
import { instrumentUsed } from './instrument-used.ts';

/** What a scripted person does next: a command with the one who gives it, or why there is none. */
export type Move =
  | { readonly command: Command; readonly by: string; readonly waits?: number }
  | { readonly ends: 'closed' }
  | { readonly ends: 'held'; readonly hold: string }
  | { readonly ends: 'stuck'; readonly why: string };

/**
 * Somebody who answers whatever a job offers from a list: acts are done as offered, observations without an answer get
 * their first conforming one, and everything else needs an answer. A list of answers is used up one taking after the
 * other; its last item is given again and again.
 */
export class ScriptedPerson {
  readonly #plan: Plan;
  readonly #answers: Answers;
  readonly #onlyNamed: boolean;
  readonly #origins: ReadonlyMap<string, Origin>;
  readonly #given = new Map<string, number>();

  constructor(
    plan: Plan,
    answers: Answers,
    onlyNamed = false,
    origins: ReadonlyMap<string, Origin> = new Map(),
  ) {
    this.#origins = origins;
    this.#plan = plan;
    this.#answers = answers;
    this.#onlyNamed = onlyNamed;
  }

  /** Who fills which role. A role without an answer is filled by a person named after it, or by nobody. */
  persons(): readonly { readonly role: string; readonly person: string }[] {
    const roles = new Map<string, string>();
    const all = this.#plan.roles.map((role) => role.id);
    all.forEach((role, index) => {
      const answered = this.#answers.persons?.[role];
      if (answered === undefined && this.#onlyNamed) return;
      roles.set(role, answered ?? `${role} ${String.fromCharCode(65 + index)}`);
    });
    return [...roles].map(([role, person]) => ({ role, person }));
  }

  /** The person who works: the one who fills the first role that the procedure asks for. */
  worker(): string {
    const role = this.#plan.persons[0] ?? this.#plan.roles[0]?.id;
    return this.persons().find((one) => one.role === role)?.person ?? 'technician';
  }

  instruments(): readonly InstrumentUsed[] {
    const needed = new Set(this.#plan.instruments.map((one) => one.id));
    return Object.entries(this.#answers.instruments ?? {}).flatMap(([kind, written]) =>
      // The word for none, as it is typed by hand: no instrument of this kind is named.
      needed.has(kind) && written.identity.toLowerCase() !== 'none' ? [instrumentUsed(kind, written)] : [],
    );
  }

  /** The next move in a job, which is made at this RFC 3339 time. */
  move(job: Job, offers: Offers, now: string): Move {
    if (offers.standing === 'closed') return { ends: 'closed' };
    if (offers.standing === 'on-hold') return this.#release(offers);
    const offer = offers.offers.find((one) => one.offer !== 'park' && one.offer !== 'omit');
    if (offer === undefined) {
      const why = offers.blocked.map((one) => one.message).join(' ');
      return { ends: 'stuck', why: `Nothing is offered at ${offers.step?.path ?? 'the end'}. ${why}` };
    }
    return this.#answer(job, offer, now);
  }

  #answer(job: Job, offer: Offer, now: string): Move {
    const by = this.worker();
    switch (offer.offer) {
      case 'acknowledge':
        return { command: { command: 'acknowledge', step: offer.step }, by };
      case 'done': {
        const together = offer.together === undefined ? {} : { together: this.#inRole(offer.together) };
        const photograph = offer.photograph === undefined ? {} : { photograph: scriptedPhotograph };
        const waits = offer.wait === undefined ? {} : { waits: this.#seconds(offer.step) };
        return { command: { command: 'done', step: offer.step, ...together, ...photograph }, by, ...waits };
      }
      case 'record': {
        const carried = offer.carry === undefined ? undefined : this.#carried(job, offer.entry, now);
        if (carried !== undefined) return 'ends' in carried ? carried : { command: carried, by };
        const value = this.#value(offer.entry);
        if (value === undefined) return { ends: 'stuck', why: `There is no answer for ${offer.entry}.` };
        const held = offer.throughout === undefined ? {} : { held: this.#held(offer.entry) };
        return { command: { command: 'record', entry: offer.entry, value, ...held }, by };
      }
      case 'witness':
        return { command: { command: 'witness', step: offer.step }, by: this.#inRole(offer.role) };
      case 'resume':
        return { command: { command: 'resume', confirmed: offer.confirm.map((one) => one.id) }, by };
      case 'close':
        return { command: { command: 'close' }, by };
      default:
        return { ends: 'stuck', why: `${offer.offer} is not for a scripted person.` };
    }
  }

  /** The answer that the last move gave is taken: the next one follows when it is asked for again. */
  taken(command: Command): void {
    if (command.command !== 'record' && command.command !== 'carry') return;
    const key = command.command === 'carry' ? `carry ${command.entry}` : command.entry;
    this.#given.set(key, (this.#given.get(key) ?? 0) + 1);
  }

  /** The value that is taken over; undefined where it is to be measured. */
  #carried(job: Job, name: string, now: string): Command | Extract<Move, { ends: 'stuck' }> | undefined {
    const entry = this.#plan.entries[findEntry(this.#plan, name) ?? -1];
    const given = this.#answers.carried ?? {};
    const key = entry && answerNames(entry).find((one) => Object.hasOwn(given, one));
    const answers = key === undefined ? [] : [given[key] ?? []].flat();
    const answer = answers[Math.min(this.#given.get(`carry ${name}`) ?? 0, answers.length - 1)];
    if (entry?.entry !== 'reading' || answer === undefined) return undefined;
    if (answer.job === undefined && answer.value === undefined && answer.struck === undefined)
      return undefined;
    const origin =
      answer.job === undefined
        ? originAnswered(this.#plan, job, entry, answer, now)
        : this.#origins.get(answer.job);
    if (origin !== undefined) return { command: 'carry', entry: name, origin };
    const why = `The record ${answer.job ?? ''} is not at hand; a trial writes out value and age.`;
    return { ends: 'stuck', why };
  }

  #value(name: string): string | undefined {
    const entry = this.#plan.entries[findEntry(this.#plan, name) ?? -1];
    if (entry === undefined) return undefined;
    const section = (
      { reading: 'readings', observation: 'observations', identity: 'identities', field: 'fields' } as const
    )[entry.entry];
    const given = this.#answers[section] ?? {};
    const key = answerNames(entry).find((one) => Object.hasOwn(given, one));
    const answers = key === undefined ? undefined : given[key];
    if (answers === undefined) {
      return entry.entry === 'observation' ? entry.answers.find((one) => one.conforming)?.id : undefined;
    }
    if (typeof answers === 'string') return answers;
    // A part is asked for twice, as found and as fitted: both use up one list.
    const count = entry.entry === 'identity' ? this.#takenAt(entry.place) : (this.#given.get(name) ?? 0);
    return answers[Math.min(count, answers.length - 1)];
  }

  /** Whether what has to hold throughout a reading did: as the answers say, or else yes. */
  #held(name: string): boolean {
    const entry = this.#plan.entries[findEntry(this.#plan, name) ?? -1];
    const given = this.#answers.held ?? {};
    const key = entry && answerNames(entry).find((one) => Object.hasOwn(given, one));
    const answers = [(key === undefined ? undefined : given[key]) ?? 'yes'].flat();
    return answers[Math.min(this.#given.get(name) ?? 0, answers.length - 1)] !== 'no';
  }

  #takenAt(place: string): number {
    let count = 0;
    for (const entry of this.#plan.entries) {
      if (entry.entry === 'identity' && entry.place === place) count += this.#given.get(entry.name) ?? 0;
    }
    return count;
  }

  #release(offers: Offers): Move {
    const hold = offers.hold?.id ?? '';
    const given = this.#answers.releases?.[hold];
    const answers = given === undefined ? [] : Array.isArray(given) ? given : [given];
    const count = this.#given.get(`hold ${hold}`) ?? 0;
    const answer = answers[Math.min(count, answers.length - 1)];
    if (answer === undefined) return { ends: 'held', hold };
    const offered = offers.offers.find((one) => one.offer === 'release' && one.by === answer.by);
    const role = offered?.offer === 'release' ? offered.role : undefined;
    this.#given.set(`hold ${hold}`, count + 1);
    const by = role === undefined ? this.worker() : this.#inRole(role);
    return {
      command: { command: 'release', by: answer.by, reason: answer.reason ?? 'As the script says.' },
      by,
    };
  }

  #inRole(role: string): string {
    return this.persons().find((one) => one.role === role)?.person ?? role;
  }

  #seconds(step: string): number {
    const node = this.#plan.nodes.find((one) => one.path === step);
    return node?.node === 'step' && node.act?.act === 'wait' ? Math.ceil(node.act.time.value.toNumber()) : 0;
  }
}

/** Stands for a picture in scripted jobs. The digest is that of the empty file (FIPS 180-4). */
export const scriptedPhotograph = {
  digest: 'sha256:e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
  name: 'scripted, no picture',
};
