import type { Plan, PlanRelease, StepNode } from '@ferrule/engine';
import { type Aside, type Piece, roleTitle } from '@ferrule/print';

/** What stands on the line of a procedure, one below the other. What is inside of something stands on a line beside it. */
export type Stop =
  | {
      readonly stop: 'step';
      readonly key: string;
      readonly number: number;
      readonly says: string;
      readonly onlyIf: string;
      /** What the step goes through, in its order. */
      readonly phases: readonly string[];
      /** Names of the laws that hold for it. */
      readonly laws: readonly string[];
      readonly pointer: string;
      readonly paths: readonly string[];
      readonly beside: readonly Stop[];
    }
  | {
      readonly stop: 'part';
      readonly key: string;
      readonly says: string;
      readonly beside: readonly Stop[];
      /** A loop leads from its end back to its beginning. */
      readonly isLoop: boolean;
    }
  | { readonly stop: 'case'; readonly key: string; readonly says: string; readonly beside: readonly Stop[] }
  | {
      readonly stop: 'rework';
      readonly key: string;
      readonly says: string;
      readonly beside: readonly Stop[];
      /** The number of the step at which the job goes on. */
      readonly backTo: number | undefined;
    }
  | {
      readonly stop: 'task';
      readonly key: string;
      readonly says: string;
      readonly paths: readonly string[];
    }
  | { readonly stop: 'hold'; readonly key: string; readonly says: string; readonly releases: string };

/** A procedure at the level at which it is written, as stops on a line. */
export const stopsOf = (plan: Plan, pieces: readonly Piece[]): readonly Stop[] =>
  new Line(plan, pieces).stops(pieces, '');

class Line {
  readonly #plan: Plan;
  /** The number of the step that a node of the plan belongs to. */
  readonly #numbers = new Map<number, number>();

  constructor(plan: Plan, pieces: readonly Piece[]) {
    this.#plan = plan;
    const visit = (piece: Piece): void => {
      if (piece.piece === 'step') for (const { index } of piece.steps) this.#numbers.set(index, piece.number);
      if (piece.piece === 'hold') for (const { index } of piece.nodes) this.#numbers.set(index, piece.number);
      if (piece.piece === 'frame') piece.inside.forEach(visit);
      if (piece.piece === 'choice') for (const one of piece.cases) one.inside.forEach(visit);
    };
    pieces.forEach(visit);
  }

  stops(pieces: readonly Piece[], under: string): readonly Stop[] {
    return pieces.flatMap((piece, index) => this.#stopsOf(piece, `${under}.${index}`));
  }

  #stopsOf(piece: Piece, key: string): readonly Stop[] {
    switch (piece.piece) {
      case 'step':
        return [this.#step(piece, key)];
      case 'hold':
        return [this.#hold(piece.hold, key, 'Hold point')];
      case 'frame': {
        const { title, over, onlyIf, inside } = piece;
        const says = [title, over ?? '', onlyIf === '' ? '' : `only if ${onlyIf}`].filter(
          (one) => one !== '',
        );
        const beside = this.stops(inside, key);
        return [{ stop: 'part', key, says: capital(says.join(', ')), beside, isLoop: over !== undefined }];
      }
      case 'choice':
        return piece.cases.map((one, number) => ({
          ...{ stop: 'case' as const, key: `${key}.${number}` },
          says: one.when === 'otherwise' ? 'Otherwise' : `If ${one.when}`,
          beside: this.stops(one.inside, `${key}.${number}`),
        }));
    }
  }

  #step(piece: Extract<Piece, { piece: 'step' }>, key: string): Stop {
    const { number, says, onlyIf, steps, asides } = piece;
    const [first] = steps;
    return {
      ...{ stop: 'step', key, number, says, onlyIf },
      phases: first === undefined ? [] : this.#phases(first),
      laws: lawsOf(steps),
      pointer: first?.pointer ?? '',
      paths: steps.map(({ path }) => path),
      beside: asides.flatMap((aside, index) => this.#aside(aside, `${key}.${index}`)),
    };
  }

  #aside(aside: Aside, key: string): readonly Stop[] {
    if (aside.aside === 'hold') return [this.#hold(aside.hold, key, capital(aside.when))];
    const { when, attempts, steps, exhausted, resumesAt } = aside;
    const beside: Stop[] = steps.map((one, index) => ({
      ...{ stop: 'task', key: `${key}.${index}`, says: one.says, paths: one.nodes.map(({ path }) => path) },
    }));
    if (exhausted >= 0) beside.push(this.#hold(exhausted, `${key}.hold`, `After ${times(attempts)}`));
    const backTo = this.#numberAt(resumesAt);
    const on = backTo === undefined ? '' : `, then back to ${backTo}`;
    return [
      {
        stop: 'rework',
        key,
        says: `${capital(when)}: rework, ${times(attempts)} at most${on}`,
        beside,
        backTo,
      },
    ];
  }

  #hold(hold: number, key: string, when: string): Stop {
    const said = this.#plan.holds[hold];
    const releases = (said?.releases ?? []).map((one) => this.#release(one)).join('; ');
    return { stop: 'hold', key, says: `${when}: ${said?.text ?? ''}`, releases };
  }

  #release({ by, role }: PlanRelease): string {
    return role === undefined
      ? releaseWords[by]
      : `${releaseWords[by]} by the ${roleTitle(this.#plan, role)}`;
  }

  #numberAt(node: number): number | undefined {
    const end = this.#plan.nodes[node]?.end ?? node;
    for (let one = node; one >= 0 && one < end; one++) {
      const number = this.#numbers.get(one);
      if (number !== undefined) return number;
    }
    return undefined;
  }

  #phases({ hazards, acknowledge, act, entries, check, witness }: StepNode): readonly string[] {
    return [
      ...(hazards.length === 0 ? [] : [acknowledge ? 'hazards understood' : 'hazards shown']),
      ...(act === undefined ? [] : [act.act === 'do' ? 'done' : act.act.replaceAll('-', ' ')]),
      ...entries.flatMap((entry) => entryWords[this.#plan.entries[entry]?.entry ?? 'field']),
      ...(check === undefined ? [] : ['judged']),
      ...(witness === undefined ? [] : ['witnessed']),
    ];
  }
}

const entryWords = {
  reading: 'read',
  observation: 'answered',
  field: 'filled in',
  identity: 'number read',
} as const;

const releaseWords = { concession: 'a concession', witness: 'a witness', rework: 'rework' } as const;

const lawsOf = (steps: readonly StepNode[]): readonly string[] => [
  ...new Set(
    steps.flatMap(({ guards, invariants }) =>
      [...guards, ...invariants].flatMap(({ because }) => (because.guard === 'interlock' ? because.law : [])),
    ),
  ),
];

const times = (count: number): string => (count === 1 ? 'one result' : `${count} results`);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
