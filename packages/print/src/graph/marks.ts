import type { Plan } from '@ferrule/engine';

/** What a proof found, as far as a picture shows it. */
export interface ProofMarks {
  readonly refutations: readonly {
    /** What can go wrong, in words. */
    readonly says: string;
    /** Path of the step that it is found at; undefined for the end of the job. */
    readonly node?: string;
    /** Paths of the steps on the way there, in order. */
    readonly way: readonly string[];
  }[];
  /** Paths of steps that no way reaches. */
  readonly unreached: readonly string[];
  /** The proof was cut short, so that what it did not reach may be reached all the same. */
  readonly isCutShort: boolean;
}

/** Ways that are drawn; of further refutations the place is marked alone. */
const MOST_WAYS = 3;

/** The marks of a proof by node of the plan. */
export class Marks {
  readonly #failed = new Map<number, number[]>();
  readonly #ways = new Map<number, string[]>();
  readonly #unreached: ReadonlySet<number>;
  readonly says: readonly string[];
  readonly isCutShort: boolean;
  /** Numbers of the refutations that are found at the end of the job. */
  readonly atEnd: readonly number[];

  constructor(plan: Plan, marks: ProofMarks) {
    const byPath = new Map(plan.nodes.map((node) => [node.path, node.index]));
    this.says = marks.refutations.map((one) => one.says);
    this.isCutShort = marks.isCutShort;
    const atEnd: number[] = [];
    for (const [index, { node, way }] of marks.refutations.entries()) {
      const at = node === undefined ? undefined : byPath.get(node);
      if (at === undefined) atEnd.push(index + 1);
      else this.#failed.set(at, [...(this.#failed.get(at) ?? []), index + 1]);
      if (index >= MOST_WAYS) continue;
      let count = 0;
      let last = '';
      for (const path of way) {
        if (path === last) continue;
        last = path;
        count += 1;
        const on = byPath.get(path);
        if (on !== undefined)
          this.#ways.set(on, [...(this.#ways.get(on) ?? []), `${letterOf(index)}${count}`]);
      }
    }
    this.atEnd = atEnd;
    this.#unreached = new Set(marks.unreached.flatMap((path) => byPath.get(path) ?? []));
  }

  /** Numbers of the refutations that are found at one of the nodes. */
  failedAt(nodes: readonly number[]): readonly number[] {
    return [...new Set(nodes.flatMap((node) => this.#failed.get(node) ?? []))];
  }

  /** Places of the nodes on the ways that are drawn: `A3` is the third on the way of the first refutation. */
  placesOf(nodes: readonly number[]): readonly string[] {
    return nodes.flatMap((node) => this.#ways.get(node) ?? []);
  }

  /** Whether none of the nodes is ever reached. */
  isUnreached(nodes: readonly number[]): boolean {
    return nodes.length > 0 && nodes.every((node) => this.#unreached.has(node));
  }

  /** Letters of the ways that are drawn, each with the number of its refutation. */
  get letters(): readonly string[] {
    return this.says.slice(0, MOST_WAYS).map((_, index) => letterOf(index));
  }
}

const letterOf = (index: number): string => String.fromCharCode(65 + index);
