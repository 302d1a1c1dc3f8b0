import {
  type Decision,
  ENTRY,
  type Entry,
  evaluate,
  type Guard,
  PART,
  type Plan,
  type PlanNode,
  type PlanTolerance,
  Rational,
  type Remedy,
  type StepNode,
  type Test,
} from '@ferrule/engine';
import {
  canHaveValue,
  constantsComparedWith,
  possibleTruths,
} from '../../packages/engine/src/logic/index.ts';

/**
 * How reworks are counted: as often as the pack says, or freely, so that each may be the last that is allowed; the
 * exploration does the latter.
 */
export type Tries = 'counted' | 'free';

/** What an assertion of a model is about, as a property that is refuted where it fails; or the step that it marks. */
export interface Claim {
  /** Place of the plan among those exported. */
  readonly plan: number;
  readonly says: string;
  /** Nobody can know that it comes about, since it takes several readings to do so. */
  readonly isUnsure: boolean;
}

export interface PromelaModel {
  readonly text: string;
  /** By its number: `assert(7<0)` stands where claim 7 is refuted, `assert(7>0)` where step 7 is done. */
  readonly claims: readonly Claim[];
}

/**
 * Writes plans as one model in Promela (G. J. Holzmann, The SPIN Model Checker, Addison-Wesley 2003, and the language
 * reference at spinroot.com/spin/Man/promela.html), of which Spin follows each. It is made from the nodes of a plan by what docs/semantics.md
 * says of them, and knows nothing of `advance` or `explore`: where a job stands is where the process stands, a rework
 * is a jump. Strikes and parking are left out.
 */
export function promelaOf(plans: readonly Plan[], tries: Tries): PromelaModel {
  const claims: Claim[] = [];
  const processes = plans.map((plan, number) => new Author(plan, number, tries, claims).process());
  const runs = plans.map((_, number) => `  :: run p${number}()`).join('\n');
  return { text: [...processes, `init {\n  if\n${runs}\n  fi\n}`, ''].join('\n'), claims };
}

/** The value of the cell of a reading that was disturbed; those below it say in which stretch its value lies. */
const STALE = 200;
/** A reading that is compared with more constants than that is not cut into stretches. */
const MOST_STRETCHES = 8;

/** The stretches of the values of a reading: what comes out in each, numbered from 1. */
interface Cut {
  readonly count: number;
  readonly verdicts: ReadonlyMap<PlanTolerance, readonly string[]>;
  readonly truths: ReadonlyMap<number, readonly boolean[]>;
}

/** A decision: what makes it known, and when it is true. */
interface Known {
  readonly is: string;
  readonly entries: ReadonlySet<number>;
  readonly isFree: boolean;
}

class Author {
  readonly #plan: Plan;
  readonly #number: number;
  readonly #tries: Tries;
  readonly #claims: Claim[];
  readonly #lines: string[] = [];
  readonly #wanted: number[] = [];
  readonly #written = new Set<number>();
  readonly #wantedHolds = new Set<number>();
  readonly #cuts: readonly (Cut | undefined)[];
  readonly #memos: ReadonlyMap<number, number>;
  readonly #asked: ReadonlySet<number>;
  /** Steps of which it has to be known whether they were begun since the job last went back. */
  readonly #flags: ReadonlySet<number>;

  constructor(plan: Plan, number: number, tries: Tries, claims: Claim[]) {
    this.#plan = plan;
    this.#number = number;
    this.#tries = tries;
    this.#claims = claims;
    this.#cuts = plan.entries.map((entry, index) => cutOf(plan, entry, index));
    this.#memos = new Map(plan.conditions.map((one, index) => [one.cell, index]));
    this.#asked = new Set(
      plan.nodes.flatMap((node) =>
        node.node === 'step' && node.notApplicable !== undefined ? this.#countersOf(node) : [],
      ),
    );
    this.#flags = new Set(
      plan.nodes.flatMap((node) =>
        node.node === 'block' && node.resumes !== undefined
          ? plan.entries.flatMap(({ takers }) => {
              const inside = takers.filter((one) => isWithin(one, node.resumes));
              return inside.length < takers.length ? inside : [];
            })
          : [],
      ),
    );
  }

  process(): string {
    this.#node(0);
    this.#end();
    for (let node = this.#wanted.pop(); node !== undefined; node = this.#wanted.pop()) this.#node(node);
    this.#put('stuck: skip', 'over: skip');
    const text = this.#lines.join(';\n  ');
    const variables = this.#plan.cells.flatMap((_, cell) =>
      text.includes(`c${cell} `) ? `byte c${cell} = ${this.#plan.starts[cell] ?? 0};` : [],
    );
    const flags = [...this.#flags].map((node) => `bit b${node};`);
    return `proctype p${this.#number}() {\n  bit bad;\n  bit nothing;\n  ${[...variables, ...flags].join('\n  ')}\n  ${text}\n}`;
  }

  #put(...lines: readonly string[]): void {
    this.#lines.push(...lines);
  }

  #claim(says: string, isUnsure = false): number {
    this.#claims.push({ plan: this.#number, says, isUnsure });
    return this.#claims.length - 1;
  }

  #refuted(says: string, isUnsure = false): string {
    return `assert(${this.#claim(says, isUnsure)} < 0)`;
  }

  #stop(node: PlanNode, isUnsure = false): string {
    return `${this.#refuted(`stop ${node.pointer}`, isUnsure)}; goto stuck`;
  }

  #node(index: number): void {
    const node = this.#plan.nodes[index];
    if (node === undefined) return;
    this.#written.add(index);
    this.#put(`N${index}: skip`);
    if (node.onlyIf !== undefined) {
      const { is } = this.#decide(node, node.onlyIf);
      this.#put(`if :: ${is} -> skip :: else -> goto X${index} fi`);
    }
    switch (node.node) {
      case 'block':
        for (const counter of node.counters) this.#put(`c${counter} = 0`);
        for (let inside = node.first; inside >= 0; inside = this.#plan.nodes[inside]?.next ?? -1)
          this.#node(inside);
        for (const counter of node.counters) this.#put(`c${counter} = 0`);
        if (node.resumes !== undefined) {
          this.#forgetAll(node.resumes);
          this.#put(`goto N${node.resumes.at}`);
        }
        break;
      case 'choose':
        this.#choose(node);
        break;
      case 'hold':
        this.#put(this.#toHold(node.hold));
        this.#holds();
        break;
      case 'step':
        this.#step(node);
        this.#holds();
        break;
    }
    this.#put(`X${index}: skip`);
  }

  #end(): void {
    for (const guard of this.#plan.ends)
      this.#put(
        `if :: ${this.#test(guard.test)} -> skip :: else -> ${this.#refuted(`ends ${guard.because.says}`)} fi`,
      );
    this.#put(`assert(${this.#claim('end')} > 0)`, 'goto over');
  }

  /** Sees to it that a decision is known, and says when it is true. A job stops where it is not known. */
  #decide(node: PlanNode, decision: Decision): Known {
    // A job that waits for a decision about a step has come to it.
    const stop = (): string => {
      const mark = node.node === 'step' ? `assert(${this.#claim(`step ${node.path}`)} > 0); ` : '';
      return `${mark}${this.#stop(node)}`;
    };
    if (decision.by === 'test') {
      for (const cell of decision.needs ?? [])
        this.#put(`if :: c${cell} != 0 -> skip :: else -> ${stop()} fi`);
      return { is: this.#test(decision.test), entries: new Set(), isFree: false };
    }
    const condition = this.#plan.conditions[decision.condition];
    if (condition === undefined) throw new Error('no such condition');
    const [entry] = condition.entries;
    const entries = new Set(condition.entries);
    const truths = entry === undefined ? undefined : this.#cuts[entry]?.truths.get(decision.condition);
    if (truths !== undefined && entry !== undefined && entries.size === 1) {
      this.#put(`if :: ${this.#live(entry)} -> skip :: else -> ${stop()} fi`);
      const cell = this.#plan.entries[entry]?.cell ?? 0;
      return { is: among(cell, placesOf(truths, true)), entries, isFree: false };
    }
    const memo = `c${condition.cell} `;
    const arms = this.#subsets(condition.entries).flatMap(({ when, isRecorded }) => {
      const can = possibleTruths(condition.lowered.typed, isRecorded);
      const ways = [...(can.true ? [`:: ${memo}= 1`] : []), ...(can.false ? [`:: ${memo}= 2`] : [])];
      return `:: ${memo}== 0 && ${when} -> ${ways.length === 0 ? stop() : `if ${ways.join(' ')} fi`}`;
    });
    this.#put(`if ${arms.join(' ')} :: ${memo}!= 0 -> skip fi`);
    return { is: `(${memo}== 1)`, entries, isFree: true };
  }

  /** Every way in which entries can be recorded or not. */
  #subsets(
    entries: readonly number[],
  ): readonly { readonly when: string; readonly isRecorded: (name: string) => boolean }[] {
    const out = [];
    for (let bits = 0; bits < 1 << entries.length; bits++) {
      const has = entries.filter((_, place) => (bits & (1 << place)) !== 0);
      const when = entries.map((one) => (has.includes(one) ? this.#live(one) : `!${this.#live(one)}`));
      const names = new Set(has.map((one) => this.#plan.entries[one]?.name));
      // The step that a time counts from is surely done before the time is judged.
      const isTime = (name: string): boolean => this.#plan.elapsed.some((one) => one.name === name);
      const isRecorded = (name: string): boolean => name === 'variant' || names.has(name) || isTime(name);
      out.push({ when: when.length === 0 ? 'true' : when.join(' && '), isRecorded });
    }
    return out;
  }

  #live(index: number): string {
    const cell = this.#plan.entries[index]?.cell ?? 0;
    return `(c${cell} != 0 && c${cell} != ${STALE})`;
  }

  #choose(node: Extract<PlanNode, { node: 'choose' }>): void {
    const known = node.cases.map((one) => this.#decide(node, one.when));
    const one = (chosen: number): string =>
      known.map(({ is }, place) => (place === chosen ? is : `!${is}`)).join(' && ') || 'true';
    const arms = node.cases.map(({ body }, place) => `:: ${one(place)} -> goto N${body}`);
    if (node.otherwise >= 0) arms.push(`:: ${one(-1)} -> goto N${node.otherwise}`);
    const areTests = node.cases.every(({ when }) => when.by === 'test');
    const areConditions = node.cases.every(({ when }) => when.by === 'condition');
    const entries = new Set(known.flatMap((decision) => [...decision.entries]));
    // What several readings come to together is free here; some of it can never come about.
    const isUnsure = !areTests && !(areConditions && entries.size === 1);
    const otherwise = known.some(({ isFree }) => isFree) ? 'goto over' : this.#stop(node, isUnsure);
    this.#put(`if ${arms.join(' ')} :: else -> ${otherwise} fi`);
    for (const body of [...node.cases.map((one) => one.body), node.otherwise]) {
      if (body < 0) continue;
      this.#node(body);
      this.#put(`goto X${node.index}`);
    }
  }

  #step(node: StepNode): void {
    const { index } = node;
    this.#put(`assert(${this.#claim(`step ${node.path}`)} > 0)`);
    if (this.#flags.has(index)) this.#put(`b${index} = 1`);
    const counters = this.#countersOf(node).map((counter) => `c${counter} == 0`);
    const mayLeaveOut = node.notApplicable === undefined ? 'nothing' : ['true', ...counters].join(' && ');
    this.#put('bad = 0');
    if (node.act !== undefined) {
      this.#guards(node, node.guards);
      if (node.invariants.length > 0) {
        const effects = new Map(node.effects.map((effect) => [effect.cell, effect]));
        const after = (cell: number, value: number): number => {
          const effect = effects.get(cell);
          return effect === undefined ? value : 'to' in effect ? effect.to : (effect.table[value] ?? 0);
        };
        this.#put(`if :: bad -> goto L${index} :: else -> skip fi`);
        this.#guards(node, node.invariants, after);
        this.#put(`L${index}: skip`);
      }
      this.#put(
        `if :: ${mayLeaveOut} -> goto X${index} :: !bad -> skip :: bad && !(${mayLeaveOut}) -> goto stuck fi`,
      );
      for (const effect of node.effects) this.#put(this.#effect(effect));
      for (const { cell, noted } of node.disturbs) {
        this.#put(`c${noted} = (c${cell} != 0 -> 1 : c${noted})`);
        this.#put(`c${cell} = (c${cell} != 0 -> ${STALE} : 0)`);
      }
    }
    for (const entry of node.entries) {
      const cell = this.#plan.entries[entry]?.cell ?? 0;
      this.#put(`if :: c${cell} == ${STALE} -> skip :: else -> ${this.#forget(entry).join('; ')} fi`);
    }
    if (node.act === undefined && node.notApplicable !== undefined)
      this.#put(`if :: ${mayLeaveOut} -> goto X${index} :: skip fi`);
    for (const entry of node.entries) this.#take(node, entry);
    if (node.entries.length > 0) this.#put('if :: bad -> goto stuck :: else -> skip fi');
    this.#check(node);
  }

  /** Each guard that does not hold is a refutation, and `bad` says that there was one. */
  #guards(
    node: PlanNode,
    guards: readonly Guard[],
    after: (cell: number, value: number) => number = (_, value) => value,
  ): void {
    for (const { test, because } of guards)
      this.#put(
        `if :: ${this.#test(test, after)} -> skip :: else -> ${this.#refuted(`law ${node.pointer} ${because.says}`)}; bad = 1 fi`,
      );
  }

  #effect(effect: StepNode['effects'][number]): string {
    const cell = `c${effect.cell} `;
    if ('to' in effect) return `${cell}= ${effect.to}`;
    const to = effect.table.reduceRight(
      (rest, value, from) => `(${cell}== ${from} -> ${value} : ${rest})`,
      '0',
    );
    return `${cell}= ${to}`;
  }

  /** What was taken no longer counts, and neither does what was decided by it. */
  #forget(index: number): readonly string[] {
    const entry = this.#plan.entries[index];
    if (entry === undefined) return ['skip'];
    const part =
      entry.entry === 'identity' && entry.as === 'fitted'
        ? [`c${entry.partCell} = (c${entry.partCell} != ${PART.unknown} -> ${PART.found} : ${PART.unknown})`]
        : [];
    return [`c${entry.cell} = 0`, ...this.#undecide(entry), ...part];
  }

  #undecide(entry: Entry): readonly string[] {
    return entry.truths.flatMap((cell) => (this.#memos.has(cell) ? `c${cell} = 0` : []));
  }

  #forgetAll(range: { readonly at: number; readonly until: number }): void {
    this.#plan.entries.forEach(({ takers }, index) => {
      const inside = takers.filter((one) => isWithin(one, range));
      if (inside.length === 0) return;
      const forget = this.#forget(index).join('; ');
      if (inside.length === takers.length) this.#put(forget);
      else this.#put(`if :: ${inside.map((one) => `b${one}`).join(' || ')} -> ${forget} :: else -> skip fi`);
    });
    for (const flag of this.#flags) if (isWithin(flag, range)) this.#put(`b${flag} = 0`);
  }

  #take(node: StepNode, index: number): void {
    const entry = this.#plan.entries[index];
    if (entry === undefined) return;
    const cell = `c${entry.cell} `;
    this.#guards(node, entry.guards);
    const outcomes: string[] = [];
    switch (entry.entry) {
      case 'reading':
        for (let place = 1; place <= (this.#cuts[index]?.count ?? 1); place++)
          outcomes.push(`${cell}= ${place}`);
        break;
      case 'observation':
        outcomes.push(...entry.answers.map((_, place) => `${cell}= ${place + 1}`));
        break;
      case 'field':
        outcomes.push(`${cell}= 1`);
        break;
      case 'identity': {
        const part = `c${entry.partCell} `;
        if (entry.as === 'found') outcomes.push(`${part}= ${PART.found}; ${cell}= 1`);
        else {
          outcomes.push(`${part}!= ${PART.unknown} -> ${part}= ${PART.own}; ${cell}= 1`);
          for (const other of [PART.other, PART.renewed]) outcomes.push(`${part}= ${other}; ${cell}= 1`);
        }
      }
    }
    const ways = outcomes.map((one) => `:: ${one}`).join(' ');
    const holds = entry.guards.map((guard) => this.#test(guard.test)).join(' && ') || 'true';
    this.#put(
      `if :: ${holds} -> if ${ways} fi; ${['skip', ...this.#undecide(entry)].join('; ')} :: else -> skip fi`,
    );
  }

  #check(node: StepNode): void {
    const { check } = node;
    if (check === undefined) return;
    const on = `goto X${node.index}`;
    if (check.check === 'stock') {
      const selection = this.#plan.selections[check.selection];
      const value = this.#plan.tolerances[selection?.tolerance ?? -1]?.value;
      if (selection === undefined || value === undefined) return;
      for (const { when: recorded, isRecorded } of this.#subsets(selection.entries))
        if (!canHaveValue(value, isRecorded) || !canHaveValue(selection.fitted, isRecorded))
          this.#put(`if :: ${recorded} -> ${this.#stop(node)} :: else -> skip fi`);
      this.#put(`if :: true -> ${on} :: true -> ${this.#toRemedy(check.nonconforming)} fi`);
      return;
    }
    if (check.check !== 'tolerance') {
      const entry = this.#plan.entries[check.entry];
      if (entry === undefined) return;
      this.#put(
        `if :: ${this.#conforms(entry)} -> ${on} :: else -> ${this.#toRemedy(check.nonconforming)} fi`,
      );
      return;
    }
    const tolerance = this.#plan.tolerances[check.tolerance];
    if (tolerance === undefined) return;
    const direct = tolerance.entries.find((one) => this.#cuts[one]?.verdicts.has(tolerance));
    const verdicts = direct === undefined ? undefined : this.#cuts[direct]?.verdicts.get(tolerance);
    const when = (outcome: string): string =>
      verdicts === undefined || direct === undefined
        ? 'true'
        : among(this.#plan.entries[direct]?.cell ?? 0, placesOf(verdicts, outcome));
    for (const { when: recorded, isRecorded } of this.#subsets(tolerance.entries))
      if (!canHaveValue(tolerance.value, isRecorded))
        this.#put(`if :: ${recorded} -> ${this.#stop(node)} :: else -> skip fi`);
    const arms = [`:: ${when('conforming')} -> ${on}`];
    for (const side of tolerance.sides)
      arms.push(`:: ${when(side)} -> ${this.#toRemedy(side === 'high' ? check.high : check.low)}`);
    if (check.inconclusive !== undefined) arms.push(`:: true -> ${this.#toRemedy(check.inconclusive)}`);
    this.#put(`if ${arms.join(' ')} fi`);
  }

  #conforms(entry: Entry): string {
    if (entry.entry === 'observation')
      return among(
        entry.cell,
        placesOf(
          entry.answers.map((one) => one.conforming),
          true,
        ),
      );
    if (entry.entry !== 'identity') return 'true';
    const others = (value: number): string =>
      ['true', ...entry.matched.map((cell) => `c${cell} != ${value}`)].join(' && ');
    const own = `(c${entry.partCell} == ${PART.own} && ${others(PART.renewed)})`;
    const renewed = `(c${entry.partCell} == ${PART.renewed} && ${others(PART.own)})`;
    return entry.acceptNew ? `(${own} || ${renewed})` : own;
  }

  #toRemedy(remedy: Remedy | undefined): string {
    if (remedy === undefined) return 'goto over';
    if (remedy.remedy === 'hold') return this.#toHold(remedy.hold);
    const { counter, attempts } = remedy;
    const body = this.#toBody(remedy.body);
    const exhausted = this.#toHold(remedy.exhausted);
    if (!this.#isCounted(counter)) {
      const count = this.#asked.has(counter) ? `c${counter} = 1` : 'skip';
      return attempts > 1 ? `${count}; if :: ${body} :: ${exhausted} fi` : `${count}; ${exhausted}`;
    }
    return `c${counter} = c${counter} + 1; if :: c${counter} < ${attempts} -> ${body} :: else -> ${exhausted} fi`;
  }

  /** Of two tries it is known which one it is, however reworks are counted. */
  #isCounted(counter: number): boolean {
    const cell = this.#plan.cells[counter];
    return this.#tries === 'counted' || (cell?.cell === 'counter' && cell.most === 2);
  }

  #toHold(hold: number): string {
    this.#wantedHolds.add(hold);
    return `goto H${this.#number}_${hold}`;
  }

  #toBody(body: number): string {
    if (!this.#written.has(body)) {
      this.#written.add(body);
      this.#wanted.push(body);
    }
    return `goto N${body}`;
  }

  readonly #writtenHolds = new Set<number>();

  /** The holds that something leads to, each once, out of the way. */
  #holds(): void {
    const open = [...this.#wantedHolds].filter((one) => !this.#writtenHolds.has(one));
    if (open.length === 0) return;
    const after = `A${open[0]}`;
    this.#put(`goto ${after}`);
    for (const number of open) {
      this.#writtenHolds.add(number);
      const hold = this.#plan.holds[number];
      const node = this.#plan.nodes[hold?.node ?? -1];
      if (hold === undefined || node === undefined) continue;
      const arms = hold.releases.flatMap((release) => {
        if (release.by === 'witness') return `:: goto X${node.index}`;
        // A concession accepts a result; at a hold point there is none.
        if (release.by === 'concession') return node.node === 'step' ? `:: goto X${node.index}` : [];
        const counter = `c${release.counter} `;
        const body = this.#toBody(release.body);
        if (this.#isCounted(release.counter))
          return `:: ${counter}< ${release.times} -> ${counter}= ${counter}+ 1; ${body}`;
        if (!this.#asked.has(release.counter)) return `:: ${body}`;
        return `:: ${counter}< ${release.times} -> ${counter}= 1; ${body}`;
      });
      this.#put(`H${this.#number}_${number}: if ${arms.join(' ')} :: else -> goto over fi`);
    }
    this.#put(`${after}: skip`);
  }

  #countersOf(node: StepNode): readonly number[] {
    const { check, struck } = node;
    const remedies =
      check === undefined
        ? []
        : check.check === 'tolerance'
          ? [check.high, check.low, check.inconclusive]
          : [check.nonconforming];
    const counters = [...remedies, struck].flatMap((one) => (one?.remedy === 'rework' ? one.counter : []));
    for (const hold of this.#plan.holds)
      if (hold.node === node.index)
        for (const one of hold.releases) if (one.by === 'rework') counters.push(one.counter);
    return counters;
  }

  /** A test over the cells, or over what they become. */
  #test(test: Test, after: (cell: number, value: number) => number = (_, value) => value): string {
    if ('not' in test) return `!${this.#test(test.not, after)}`;
    if ('all' in test) return `(${test.all.map((one) => this.#test(one, after)).join(' && ') || 'true'})`;
    if ('any' in test) return `(${test.any.map((one) => this.#test(one, after)).join(' || ') || 'nothing'})`;
    const cell = this.#plan.cells[test.cell];
    if (cell === undefined || cell.cell === 'counter') throw new Error('a test over a counter');
    const values = cell.values
      .map((_, value) => value)
      .filter((value) => test.among.includes(after(test.cell, value)));
    const isReading = cell.cell === 'entry' && this.#plan.entries[cell.entry]?.entry === 'reading';
    if (!isReading) return among(test.cell, values);
    const held = `(c${test.cell} != 0 && c${test.cell} != ${STALE})`;
    const parts = values.map((value) =>
      value === ENTRY.held ? held : among(test.cell, [value === ENTRY.stale ? STALE : value]),
    );
    return `(${parts.join(' || ') || 'nothing'})`;
  }
}

const among = (cell: number, values: readonly number[]): string =>
  `(${values.map((value) => `c${cell} == ${value}`).join(' || ') || 'nothing'})`;

/** The places from 1 at which a list has something. */
const placesOf = <T>(list: readonly T[], wanted: T): readonly number[] =>
  list.flatMap((one, place) => (one === wanted ? place + 1 : []));

const isWithin = (
  node: number,
  range: { readonly at: number; readonly until: number } | undefined,
): boolean => range !== undefined && node >= range.at && node < range.until;

/** Where the values of a reading fall apart by what is compared with it alone; undefined where nothing is. */
function cutOf(plan: Plan, entry: Entry, index: number): Cut | undefined {
  if (entry.entry !== 'reading') return undefined;
  const tolerances = plan.tolerances.filter(
    ({ value, circle, limitsFrom }) =>
      value.node === 'name' && value.name === entry.name && circle === undefined && limitsFrom === undefined,
  );
  const conditions = plan.conditions.flatMap((one, place) =>
    one.entries.length === 1 && one.entries[0] === index ? [{ one, place }] : [],
  );
  if (tolerances.length + conditions.length === 0) return undefined;
  const limits = tolerances.flatMap(({ limits: { low, high } }) => [low, high]);
  const compared = conditions.flatMap(({ one }) => constantsComparedWith(one.lowered.typed, entry.name));
  const [lowest, highest] = entry.plausible;
  const points = [lowest, ...limits, ...compared, highest]
    .flatMap((one) => one?.value ?? [])
    .filter((one) => one.compare(lowest.value) >= 0 && one.compare(highest.value) <= 0)
    .sort((a, b) => a.compare(b));
  const samples = points.flatMap((one, place) => [one, between(one, points[place + 1] ?? one)]);
  const found = new Map<string, { readonly verdicts: string[]; readonly truths: boolean[] }>();
  for (const value of samples) {
    const verdicts = tolerances.map(({ limits: { low, high } }) =>
      low !== undefined && value.compare(low.value) < 0
        ? 'low'
        : high !== undefined && value.compare(high.value) > 0
          ? 'high'
          : 'conforming',
    );
    const amount = { kind: entry.kind, value };
    const truths = conditions.map(({ one }) => evaluate(one.lowered, () => amount).truth === true);
    found.set(`${verdicts} ${truths}`, { verdicts, truths });
  }
  if (found.size > MOST_STRETCHES) return undefined;
  const stretches = [...found.values()];
  return {
    count: stretches.length,
    verdicts: new Map(
      tolerances.map((one, place) => [one, stretches.map(({ verdicts }) => verdicts[place] ?? '')]),
    ),
    truths: new Map(
      conditions.map(({ place: number }, place) => [
        number,
        stretches.map(({ truths }) => truths[place] ?? false),
      ]),
    ),
  };
}

const HALF = Rational.of(1, 2);
const between = (a: Rational, b: Rational): Rational => a.plus(b).times(HALF);
