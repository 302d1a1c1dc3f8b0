import {
  type Amount,
  type Command,
  commandNames,
  type Entry,
  type Job,
  type Occasion,
  type Origin,
  offers,
  type Plan,
  valueIn,
  writeQuantity,
} from '@ferrule/engine';

/** Chance that can be had again: a linear congruential generator (constants of Numerical Recipes, from memory). */
export class Chance {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** From 0 up to, and not including, 1. */
  next(): number {
    this.#state = (Math.imul(this.#state, 1664525) + 1013904223) >>> 0;
    return this.#state / 2 ** 32;
  }

  below(count: number): number {
    return Math.floor(this.next() * count);
  }

  is(probability: number): boolean {
    return this.next() < probability;
  }

  of<T>(list: readonly T[]): T {
    const one = list[this.below(list.length)];
    if (one === undefined) throw new RangeError('nothing to choose from');
    return one;
  }
}

export const people = ['A', 'B', 'C'] as const;

/** What somebody does next in a job: mostly what is offered, now and then something else. */
export interface Deed {
  readonly command: Command;
  readonly occasion: Occasion;
  readonly expectedSeq?: number;
}

export interface Manner {
  /** How likely a command is that is made up. */
  readonly wrong: number;
  readonly strikes: number;
  readonly parks: number;
}

export class Walker {
  readonly #plan: Plan;
  readonly #chance: Chance;
  readonly #manner: Manner;
  /** The commands that can mean something in this plan. */
  readonly #commands: readonly Command['command'][];
  #count = 0;

  constructor(plan: Plan, chance: Chance, manner: Manner) {
    this.#plan = plan;
    this.#chance = chance;
    this.#manner = manner;
    const carries = plan.entries.some((one) => one.entry === 'reading' && one.carry !== undefined);
    this.#commands = commandNames.filter((one) => carries || one !== 'carry');
  }

  deed(job: Job): Deed {
    const chance = this.#chance;
    this.#count += 1;
    const since = Math.max(Date.parse(job.facts.at(-1)?.at ?? '') || 0, Date.UTC(2027, 0, 4, 8));
    // Where time is judged, a clock is set back now and then.
    const isSetBack = this.#plan.elapsed.length > 0 && chance.is(0.03);
    const at = new Date(since + (isSetBack ? -60 : chance.below(20)) * 60_000).toISOString();
    const command = this.#command(job);
    const by = this.#person(job, command);
    return {
      command,
      occasion: { at, by, id: `w${this.#count}` },
      ...(chance.is(this.#manner.wrong) ? { expectedSeq: job.seq - 1 } : {}),
    };
  }

  #person(job: Job, command: Command): string {
    const persons = job.started.persons.map((one) => one.person);
    if (this.#chance.is(this.#manner.wrong)) return this.#chance.of([...persons, 'stranger', '']);
    const role = offers(this.#plan, job).offers.find((one) => one.offer === command.command);
    const named = role !== undefined && 'role' in role ? role.role : undefined;
    return (
      job.started.persons.find((one) => one.role === named)?.person ??
      (this.#chance.is(0.9) ? persons[0] : this.#chance.of(persons)) ??
      ''
    );
  }

  #command(job: Job): Command {
    const chance = this.#chance;
    if (chance.is(this.#manner.wrong)) return this.#made(job);
    if (chance.is(this.#manner.strikes)) {
      const about = job.facts.filter(({ fact }) => 'entry' in fact || fact.kind === 'done').slice(-30);
      if (about.length > 0)
        return { command: 'strike', target: chance.of(about).seq, reason: 'misread', insist: chance.is(0.5) };
    }
    const { offers: all } = offers(this.#plan, job);
    const can = all.filter((one) => one.offer !== 'park' || chance.is(this.#manner.parks));
    const omits = can.filter((one) => one.offer !== 'omit' || chance.is(0.2));
    if (omits.length === 0) return can.length === 0 ? this.#made(job) : this.#taken(job, chance.of(can));
    return this.#taken(job, chance.of(omits));
  }

  #taken(job: Job, offer: ReturnType<typeof offers>['offers'][number]): Command {
    switch (offer.offer) {
      case 'acknowledge':
      case 'witness':
        return { command: offer.offer, step: offer.step };
      case 'omit':
        return { command: 'omit', step: offer.step, reason: 'not here' };
      case 'done': {
        const second = job.started.persons.find((one) => one.role === offer.together)?.person;
        return {
          command: 'done',
          step: offer.step,
          ...(second === undefined ? {} : { together: second }),
          ...(offer.photograph === true ? { photograph: { digest: 'sha256:1', name: 'a.jpg' } } : {}),
        };
      }
      case 'record': {
        const entry = this.#plan.entries.find((one) => one.name === offer.entry);
        if (offer.carry !== undefined && this.#chance.is(0.6))
          return { command: 'carry', entry: offer.entry, origin: this.#origin(job, entry) };
        const value = entry === undefined ? '' : this.#value(job, entry);
        const held = offer.throughout === undefined ? {} : { held: this.#chance.is(0.8) };
        return { command: 'record', entry: offer.entry, value, insist: this.#chance.is(0.5), ...held };
      }
      case 'release':
        return { command: 'release', by: offer.by, reason: 'because' };
      case 'park':
        return { command: 'park', reason: 'night' };
      case 'resume':
        return { command: 'resume', confirmed: offer.confirm.map((one) => one.id) };
      case 'close':
        return { command: 'close' };
    }
  }

  /** A value for an entry: mostly one that conforms, where that can be seen. */
  #value(job: Job, entry: Entry): string {
    const chance = this.#chance;
    switch (entry.entry) {
      case 'observation': {
        const good = entry.answers.filter((one) => one.conforming);
        return (chance.is(0.7) ? chance.of(good) : chance.of(entry.answers)).id;
      }
      case 'field':
        return (
          entry.shape?.signs
            .map((one) => ('sign' in one ? one.sign : 'any' in one && one.any === 'digit' ? '7' : 'A'))
            .join('') ?? 'text'
        );
      case 'identity': {
        const known = this.#plan.entries.flatMap((one, index) => {
          const text = job.taken[index]?.text;
          return one.entry === 'identity' && one.part === entry.part && text !== undefined
            ? [{ place: one.place, text }]
            : [];
        });
        const own = known.find((one) => one.place === entry.place);
        if (entry.as === 'fitted' && own !== undefined && chance.is(0.7)) return own.text;
        if (known.length > 0 && chance.is(0.3)) return chance.of(known).text;
        return entry.shape.signs
          .map((one) =>
            'sign' in one
              ? one.sign
              : one.any === 'digit'
                ? String(chance.below(10))
                : chance.of(['A', 'B', 'C']),
          )
          .join('');
      }
      case 'reading': {
        const index = this.#plan.entries.indexOf(entry);
        const range = this.#plan.instruments.find((one) => one.id === entry.instrument)?.range;
        // Beyond the end of the scale, where there is one.
        if (range !== undefined && chance.is(0.2)) {
          const isAbove = chance.is(0.7);
          return `${isAbove ? '>' : '<'} ${writeQuantity(range[isAbove ? 1 : 0])}`;
        }
        const own = this.#plan.tolerances.find((one) => one.entries.length === 1 && one.entries[0] === index);
        const [low, high] = entry.plausible.map((one) => valueIn(one, entry.unit).toNumber()) as [
          number,
          number,
        ];
        const bound = (limit: Amount | undefined, otherwise: number): number =>
          limit?.kind === entry.kind ? valueIn(limit, entry.unit).toNumber() : otherwise;
        const from = bound(own?.limits.low, low);
        const to = bound(own?.limits.high, high);
        const inside = entry.circle === undefined ? [Math.max(low, from), Math.min(high, to)] : [from, to];
        const [a = low, b = high] = chance.is(0.7) ? inside : [low, high];
        return (a + (b - a) * (0.01 + 0.98 * chance.next())).toFixed(3);
      }
    }
  }

  /** What an earlier job hands on for a reading: mostly something that is taken, and now and then something that is not. */
  #origin(job: Job, entry: Entry | undefined): Origin {
    const chance = this.#chance;
    const carry = entry?.entry === 'reading' ? entry.carry : undefined;
    const mostly = <T>(good: T, ...bad: readonly T[]): T => (chance.is(0.9) ? good : chance.of(bad));
    const digits = chance.of(['1.2', '1.7', '2.5', '0.4']);
    const engine = job.taken[this.#plan.entries.findIndex((one) => one.name === carry?.field)]?.text ?? '';
    return {
      job: chance.of(['first', 'second']),
      pack: mostly(carry?.pack ?? '', 'small'),
      revision: '1.0.0',
      bundle: 'sha256:1',
      procedure: mostly(carry?.procedure ?? '', 'main'),
      variant: 'small',
      closed: mostly<'finished' | 'unfinished'>('finished', 'unfinished'),
      fields: [{ name: mostly(carry?.field ?? '', 'other'), text: mostly(engine, '') }],
      values: [
        {
          name: mostly(carry?.value ?? '', 'nothing'),
          title: 'Gap',
          at: mostly('2027-01-02T08:00:00Z', '2026-01-01T00:00:00Z', '2031-01-01T00:00:00Z', 'once'),
          digits,
          unit: mostly('mm', 'bar', ''),
          exact: mostly(digits, `${digits.replace('.', '')}/10`, '9', 'x'),
          ...(chance.is(0.3) ? { verdict: mostly('conforming' as const, 'nonconforming') } : {}),
          ...(chance.is(0.5)
            ? {
                uncertainty: { expandedUncertainty: mostly('0.1 mm', '-1 mm', '1 bar'), coverageFactor: '2' },
              }
            : {}),
          instruments: chance.of([[], ['G-1'], ['G-1', 'G-2']]),
        },
      ],
    };
  }

  /** A command made up of names that this plan has, and of some that no plan has. */
  #made(job: Job): Command {
    const chance = this.#chance;
    const step = chance.is(0.9) ? chance.of(this.#plan.nodes).path : 'nowhere';
    const entry =
      chance.is(0.9) && this.#plan.entries.length > 0 ? chance.of(this.#plan.entries).name : 'nothing';
    const value = chance.of([
      '',
      '5',
      '1,234',
      'good',
      '-1',
      '3 mm',
      '> 5 mm',
      '>>4',
      '1 bar',
      'x'.repeat(80),
      'MU-1',
      '\u0000',
      '__proto__',
      'constructor',
    ]);
    const reason = chance.of(['', ' ', 'because', 'x'.repeat(5000)]);
    const target = chance.below(job.seq + 3) - 1;
    switch (chance.of(this.#commands)) {
      case 'acknowledge':
        return { command: 'acknowledge', step };
      case 'done':
        return {
          command: 'done',
          step,
          together: chance.of(['', 'A', 'C', 'stranger']),
          instrument: chance.of(['', 'G-1']),
        };
      case 'omit':
        return { command: 'omit', step, reason };
      case 'record':
        return { command: 'record', entry, value, insist: chance.is(0.5) };
      case 'carry':
        return {
          command: 'carry',
          entry,
          origin: this.#origin(
            job,
            this.#plan.entries.find((one) => one.name === entry),
          ),
        };
      case 'witness':
        return { command: 'witness', step };
      case 'release':
        return { command: 'release', by: chance.of(['concession', 'rework', 'witness']), reason };
      case 'strike':
        if (this.#manner.strikes === 0) return { command: 'note', text: reason };
        return { command: 'strike', target, reason, insist: chance.is(0.5) };
      case 'equip':
        return {
          command: 'equip',
          instrument: { kind: chance.of(['gauge', 'wrench', value]), identity: value },
        };
      case 'out-of-stock':
        return {
          command: 'out-of-stock',
          stock: chance.of(['shims', value]),
          size: chance.of(['1.00 mm', '1.10 mm', value]),
          back: chance.is(0.3),
        };
      case 'allow':
        return {
          command: 'allow',
          instrument: chance.of(['G-1', value]),
          because: chance.of(['instrument-overdue', 'beyond-instrument']),
          reason,
        };
      case 'join':
        return {
          command: 'join',
          role: chance.of(['lead', 'second', 'boss', '']),
          person: chance.of(['', 'C', 'D']),
        };
      case 'note':
        return { command: 'note', text: reason };
      case 'park':
        return { command: 'park', reason };
      case 'resume':
        return { command: 'resume', confirmed: [value] };
      case 'close':
        return { command: 'close' };
      case 'abandon':
        return chance.is(0.1) ? { command: 'abandon', reason } : { command: 'note', text: 'Not yet.' };
    }
  }
}
