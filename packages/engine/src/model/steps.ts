import { Acts } from './acts.ts';
import { changesOf } from './changes.ts';
import { fill } from './fill.ts';
import { type Frame, listOf } from './frame.ts';
import type { Step } from './generated/document.ts';
import { operationsOf } from './laws.ts';
import { join, type Open } from './outline.ts';
import type { Disturbance, Guard, StepNode } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Remedies } from './remedies.ts';
import type { StepChecks } from './step-checks.ts';
import { placed, Tracked } from './tracked.ts';
import type { Writing } from './writing.ts';

/** The keys of a step by which it does, takes or judges something. */
const keysThatDo = [
  ...['turn', 'turn-to', 'tighten', 'remove', 'renew', 'select', 'wait', 'photograph'],
  'refer-to',
  ...['identify', 'fill-in', 'observe', 'read', 'judge'],
] as readonly (keyof Step)[];

/** What a step takes from a person, which can be struck. */
const entryKeys = ['read', 'observe', 'fill-in', 'identify'] as const;

/** Writes steps: each a node, with what its remedies lead to inside it. */
export class Steps {
  readonly #writing: Writing;
  readonly #acts: Acts;
  readonly #checks: StepChecks;
  readonly #remedies: Remedies;

  constructor(writing: Writing, checks: StepChecks, remedies: Remedies) {
    this.#writing = writing;
    this.#acts = new Acts(writing);
    this.#checks = checks;
    this.#remedies = remedies;
  }

  write(parent: number, written: Step, path: string, frame: Frame, pointer: string): number | undefined {
    const { pack, variant, entries, laws, outline, names, report } = this.#writing;
    const acted = this.#acts.of(written, frame, pointer);
    const changes = changesOf(written, frame, pointer, this.#writing);
    const operations = operationsOf(written);
    names.operations(written.operation, pointerTo(pointer, 'operation'));
    const effects = [...acted.effects, ...changes.effects];
    const deed = { operations, entering: changes.entering, effects };
    const act =
      acted.act ??
      (effects.length > 0 || operations.length > 0
        ? ({ act: 'do', says: written.title ?? written.step } as const)
        : undefined);
    const requires = this.#requires(written, frame, pointer);
    const taken = this.#taken(written, frame, pointer);
    if (act === undefined && !keysThatDo.some((key) => written[key] !== undefined)) {
      report.add(
        'no-verb',
        pointer,
        `${written.step} does nothing: it has no verb, reads nothing and judges nothing.`,
      );
    }
    const hazards = written.hazards ?? [];
    names.hazards(hazards, pointerTo(pointer, 'hazards'));
    names.uses(written.with ?? [], pointerTo(pointer, 'with'));
    for (const key of ['raises', 'lowers'] as const) this.#moved(written, key, frame, pointer);
    for (const key of ['witness', 'together-with', 'not-applicable'] as const)
      names.role(written[key], pointerTo(pointer, key));
    const node: Open<StepNode> = {
      node: 'step',
      hazards,
      acknowledge: hazards.some((id) => pack.hazards?.[id]?.acknowledge !== undefined),
      guards: [
        ...laws.guards(deed, frame),
        ...(act === undefined ? [] : requires),
        ...acted.guards,
        ...changes.guards,
      ],
      effects,
      invariants: laws.invariants(deed, frame),
      operations,
      uses: written.with ?? [],
      entries: taken,
      disturbs: this.#disturbs(written, frame, pointer),
      ...outline.base(parent, written.step, join(path, written.step), pointer),
    };
    // What a step may lack comes last, so that all steps have one layout: jobs and proofs read them very often.
    if (act !== undefined) node.act = act;
    if (written.title !== undefined)
      node.title = fill(written.title, frame, variant, pointerTo(pointer, 'title'), report);
    if (written.witness !== undefined) node.witness = written.witness;
    if (written['together-with'] !== undefined) node.together = written['together-with'];
    if (written['not-applicable'] !== undefined) node.notApplicable = written['not-applicable'];
    if (!outline.add(node, frame)) return undefined;
    for (const index of taken) {
      const entry = entries.at(index);
      if (entry === undefined) continue;
      entry.takers.push(node.index);
      if (act === undefined) entry.guards.push(...requires);
    }
    const check = this.#checks.of(written, node, frame, pointer);
    if (check !== undefined) node.check = check;
    if (written['if-struck'] !== undefined) {
      const at = pointerTo(pointer, 'if-struck');
      const struck =
        taken.length > 0 ? this.#remedies.struck(written['if-struck'], node, frame, at) : undefined;
      if (struck !== undefined) node.struck = struck;
      // An entry that is written, and faulty, is told by itself.
      if (entryKeys.every((key) => written[key] === undefined))
        report.add('needless-remedy', at, 'This step takes nothing that could be struck.', {
          remedy: 'Take it out: work is struck only while it can be done again in its place.',
        });
    }
    outline.close(node);
    return node.index;
  }

  #requires(written: Step, frame: Frame, pointer: string): readonly Guard[] {
    if (written.requires === undefined) return [];
    const at = pointerTo(pointer, 'requires');
    const test = this.#writing.tracked.test(written.requires, frame, at);
    const says = `${written.step} needs ${Tracked.says(written.requires)}.`;
    return [{ test, because: { guard: 'requirement', says }, pointer: at }];
  }

  /** The entries that a step takes, in the order in which they are asked for. */
  #taken(written: Step, frame: Frame, pointer: string): readonly number[] {
    const { entries, checks } = this.#writing;
    const found: (number | undefined)[] = [];
    if (written.identify !== undefined) {
      const { part, as } = written.identify;
      const acceptNew = written.identify['accept-new'] !== undefined;
      found.push(entries.identity(part, as, acceptNew, frame, pointerTo(pointer, 'identify')));
    }
    if (written['fill-in'] !== undefined)
      found.push(entries.field(written['fill-in'], pointerTo(pointer, 'fill-in')));
    if (written.observe !== undefined)
      found.push(entries.observation(written.observe, frame, pointerTo(pointer, 'observe')));
    const read = pointerTo(pointer, 'read');
    listOf(written.read).forEach((id, number) => {
      const at = Array.isArray(written.read) ? pointerTo(read, number) : read;
      const held = (tolerance: string, where: string) => checks.heldThroughout(tolerance, frame, where);
      found.push(entries.reading(id, frame, at, held));
    });
    return found.flatMap((index) => index ?? []);
  }

  /** What the work makes larger or smaller has to be a value of the procedure. */
  #moved(written: Step, key: 'raises' | 'lowers', { document }: Frame, pointer: string): void {
    const { readings = {}, derived = {} } = document;
    listOf(written[key]).forEach((name, number) => {
      const at = pointerTo(pointer, key);
      if (!Object.hasOwn(readings, name) && !Object.hasOwn(derived, name))
        this.#writing.report.unknown(
          'reading or derived value',
          name,
          [...Object.keys(readings), ...Object.keys(derived)],
          Array.isArray(written[key]) ? pointerTo(at, number) : at,
        );
    });
  }

  /** The readings that the step makes stale; they have been taken before it. */
  #disturbs(written: Step, frame: Frame, pointer: string): readonly Disturbance[] {
    const { entries, tracked, report } = this.#writing;
    return listOf(written.disturbs).flatMap((name) => {
      const at = pointerTo(pointer, 'disturbs');
      const { per } = frame.document.readings?.[name] ?? {};
      const full = frame.prefix + placed(name, ...listOf(per).map((one) => frame.bindings.get(one)));
      const entry = entries.at(entries.index(full) ?? -1);
      if (entry === undefined) {
        report.add(
          'never-taken',
          at,
          `${name} has not been taken before this step, so it cannot be disturbed.`,
        );
      } else if (entry.entry !== 'reading') {
        report.add('wrong-form', at, `${name} is not a reading.`);
      }
      return entry === undefined ? [] : { cell: entry.cell, noted: tracked.disturbed(full) };
    });
  }
}
