import type { BlockNode, HoldNode, Pack, Plan, PlanNode, Remedy, StepNode } from '@ferrule/engine';
import { valueAt } from '@ferrule/engine';
import { conditionInRework, decisionInWords, settled } from '../decision-words.ts';
import { mergeTexts } from '../merge-texts.ts';
import type { StepOfEntry } from '../truth-in-words.ts';
import type { Holds } from './holds.ts';

/** A place at which rows are done: one pass of a loop, or the procedure itself. */
export interface Column {
  /** What the pass is called: `bore 3`; empty for the procedure itself. */
  readonly label: string;
  /** What stands in texts for the pass: `3`. */
  readonly value: string;
  /** The pass around it where loops stand in one another: `stop 1`. */
  readonly around?: string;
  /** Blocks of the passes that were chosen, from the outside in. */
  readonly passes: readonly number[];
}

export type Row =
  | {
      readonly row: 'step';
      /** `12`, or `A2` in a rework. */
      readonly number: string;
      /** For each column the step that is done there, and undefined where there is none. */
      readonly at: readonly (StepNode | undefined)[];
      /** Where it is done for several passes of a loop at once: what they are called. */
      readonly passes?: readonly string[];
    }
  | { readonly row: 'hold'; readonly number: string; readonly at: readonly (HoldNode | undefined)[] }
  /** Says what the rows after it are, and when they are left out. */
  | { readonly row: 'heading'; readonly title: string; readonly onlyIf?: string };

export interface Worktable {
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
}

/** A part of the work with its own heading. */
export interface Section {
  readonly title: string;
  readonly level: number;
  readonly onlyIf?: string;
  /** What is said where the work comes back to a part, or to what is done in every case; the title is empty then. */
  readonly back?: string;
  readonly tables: readonly Worktable[];
}

/** What is done after a verdict, or on the way back from a hold: the same list for all places that lead to it. */
export interface Rework {
  /** None where it is one step, which is said where it is needed. */
  readonly letter?: string;
  readonly rows: readonly Row[];
  /** Numbers of the steps that it is for. */
  readonly steps: readonly string[];
  /** Labels of the holds that it is a way on from. */
  readonly holds: readonly string[];
  /** How often it may be done at most, at one of its places. */
  readonly times: number;
  /** How many bores it may be for. */
  readonly bores: number;
}

export interface Worklist {
  readonly sections: readonly Section[];
  readonly reworks: readonly Rework[];
  /** The number that a node has on the sheet; a block has that of the first step in it. */
  numberOf(node: number): string | undefined;
  /** The rework that a body is. */
  reworkOf(body: number): Rework | undefined;
  /** The number of the step that takes an entry. */
  readonly stepOfEntry: StepOfEntry;
  /** Whether a hazard is said in full before the work or at one of its steps. */
  isSaid(hazard: string): boolean;
}

/** Columns that fit beside one another on a page. */
const MOST_COLUMNS = 8;

const plain: readonly Column[] = [{ label: '', value: '', passes: [] }];

/**
 * The steps of a plan as they stand on paper: sections, and in each section tables. A loop is one table with a column for
 * each of its passes, so that a step is written once; loops over stops have a column for each bore at each stop. What is
 * confirmed before and after the work is not in it.
 */
export function worklistOf(plan: Plan, pack: Pack, holds: Holds): Worklist {
  return new Writer(plan, pack, holds).write();
}

class Writer {
  readonly #plan: Plan;
  readonly #pack: Pack;
  readonly #holds: Holds;
  readonly #sections: {
    title: string;
    level: number;
    onlyIf?: string;
    back?: string;
    tables: Worktable[];
  }[] = [];
  readonly #numbers = new Map<number, string>();
  readonly #entries = new Map<number, string>();
  readonly #reworks: OpenRework[] = [];
  readonly #bodies = new Map<number, number>();
  #last = 0;
  /** What stands before the numbers: the letter of a rework. */
  #letter = '';
  /** How many reworks have a letter. */
  #lettered = 0;

  constructor(plan: Plan, pack: Pack, holds: Holds) {
    this.#plan = plan;
    this.#pack = pack;
    this.#holds = holds;
  }

  readonly #stepOfEntry: StepOfEntry = (entry) => this.#entries.get(entry);

  write(): Worklist {
    const root = this.#plan.nodes[0];
    if (root?.node === 'block') {
      const work = this.#children(root).filter((node) => !isConfirmations(node));
      // The title of the whole stands above all of it.
      this.#body(work, plain, '', 2);
    }
    const sections = this.#sections.filter(
      (one) => one.tables.length > 0 || one.title !== '' || one.onlyIf !== undefined,
    );
    const rows = sections.flatMap((one) => one.tables).flatMap((one) => one.rows);
    const said = new Set([
      ...(this.#pack.procedures[this.#plan.procedure.id]?.preliminary?.safety ?? []),
      ...stepsOf(rows).flatMap((one) => one.hazards),
    ]);
    this.#writeReworks(rows);
    return {
      sections,
      reworks: this.#reworks,
      reworkOf: (body) => this.#reworks[this.#bodies.get(body) ?? -1],
      stepOfEntry: this.#stepOfEntry,
      isSaid: (hazard) => said.has(hazard),
      numberOf: (node) => {
        const end = this.#plan.nodes[node]?.end ?? node;
        for (let one = node; one < end; one++) {
          const number = this.#numbers.get(one);
          if (number !== undefined) return number;
        }
        return undefined;
      },
    };
  }

  /** Lists of reworks in the order in which they are spoken of: by steps, by holds, and by other reworks. */
  #writeReworks(rows: readonly Row[]): void {
    const asked: Asked[] = [];
    const fromSteps = (some: readonly Row[]): void => {
      for (const row of some)
        if (row.row === 'step')
          for (const pick of sides)
            this.#ask(
              row.at.flatMap((step) => (step === undefined ? [] : (pick(step) ?? []))),
              row.number,
              asked,
            );
    };
    fromSteps(rows);
    for (const { label, holds } of this.#holds.all)
      for (const [number, way] of (holds[0]?.releases ?? []).entries()) {
        if (way.by !== 'rework') continue;
        const bodies = holds.flatMap((one) => {
          const same = one.releases[number];
          return same?.by === 'rework' ? [same.body] : [];
        });
        asked.push({ bodies, times: way.times, hold: label });
      }
    // A list may speak of further ones.
    for (let at = 0; at < asked.length; at++) {
      const one = asked[at];
      const before = this.#reworks.length;
      if (one !== undefined) this.#writeRework(one);
      for (const added of this.#reworks.slice(before)) fromSteps(added.rows);
    }
  }

  #ask(remedies: readonly Remedy[], step: string, asked: Asked[]): void {
    const reworks = remedies.filter((one) => one.remedy === 'rework');
    const times = Math.max(0, ...reworks.map((one) => one.attempts - 1));
    if (times > 0) asked.push({ bodies: reworks.map((one) => one.body), times, step });
  }

  #writeRework({ bodies, times, step, hold }: Asked): void {
    const fresh = bodies.filter((one) => !this.#bodies.has(one));
    const like = this.#bodies.get(bodies.find((one) => this.#bodies.has(one)) ?? -1) ?? this.#likeOf(fresh);
    const place = like ?? this.#newRework(fresh, times, step ?? hold ?? '');
    const rework = this.#reworks[place];
    if (rework === undefined) return;
    for (const one of fresh) this.#bodies.set(one, place);
    if (like !== undefined) this.#numberLike(like, fresh);
    if (step !== undefined && !rework.steps.includes(step)) rework.steps.push(step);
    if (hold !== undefined && !rework.holds.includes(hold)) rework.holds.push(hold);
    rework.times = Math.max(rework.times, times);
  }

  /** A list that says the same to the last word, if there is one. */
  #likeOf(bodies: readonly number[]): number | undefined {
    const [first] = bodies;
    if (first === undefined) return undefined;
    const words = this.#wordsOf(first);
    for (const [body, place] of this.#bodies) if (this.#wordsOf(body) === words) return place;
    return undefined;
  }

  readonly #words = new Map<number, string>();

  /** All that a body of rework says, whatever bore it is for; what is judged in it is like nothing else. */
  #wordsOf(body: number): string {
    const known = this.#words.get(body);
    if (known !== undefined) return known;
    const node = this.#plan.nodes[body];
    const steps = node === undefined ? [] : stepsInBody(this.#plan, node);
    const words = JSON.stringify(
      steps.map((step) => [
        step.act?.says ?? step.title ?? step.id,
        conditionInRework(this.#plan, this.#pack, step),
        step.hazards,
        step.uses,
        step.entries.map((one) => this.#plan.entries[one]?.title),
        step.check === undefined ? '' : step.pointer,
      ]),
    );
    const said = node?.bore === undefined ? words : words.replace(new RegExp(`\\b${node.bore}\\b`, 'g'), 'N');
    this.#words.set(body, said);
    return said;
  }

  #newRework(bodies: readonly number[], times: number, owner: string): number {
    const lists = bodies.map((one) => this.#inside(one));
    const columns = lists.map(() => ({ label: '', value: '', passes: [] }));
    const rows: Row[] = [];
    this.#last = 0;
    this.#letter = letterOfList(this.#lettered);
    this.#rows(lists, columns, rows);
    const isShort = rows.length <= 1 && rows.every(isSaidInPassing);
    if (isShort) {
      // Said at the step that it is for, and so numbered with it.
      for (const one of stepsOf(rows)) this.#numbers.set(one.index, owner);
    } else this.#lettered += 1;
    const bores = new Set(bodies.flatMap((one) => this.#plan.nodes[one]?.bore ?? []));
    this.#reworks.push({
      ...(isShort ? {} : { letter: this.#letter }),
      ...{ rows, steps: [], holds: [], times, bores: bores.size },
    });
    return this.#reworks.length - 1;
  }

  /** Steps of a body that says the same as a list have the numbers of that list. */
  #numberLike(place: number, bodies: readonly number[]): void {
    const [known] = [...this.#bodies].find(([body, at]) => at === place && !bodies.includes(body)) ?? [];
    const listed = known === undefined ? [] : this.#stepsIn(known);
    for (const body of bodies)
      for (const [at, one] of this.#stepsIn(body).entries()) {
        const number = this.#numbers.get(listed[at]?.index ?? -1);
        if (number !== undefined) this.#numbers.set(one.index, number);
      }
  }

  #stepsIn(body: number): readonly StepNode[] {
    const node = this.#plan.nodes[body];
    return node === undefined ? [] : stepsInBody(this.#plan, node);
  }

  #children(block: BlockNode): readonly PlanNode[] {
    const found: PlanNode[] = [];
    for (let at = block.first; at >= 0; ) {
      const node = this.#plan.nodes[at];
      if (node === undefined) break;
      found.push(node);
      at = node.next;
    }
    return found;
  }

  #open(title: string, level: number, back?: string): Worktable[] {
    const tables: Worktable[] = [];
    this.#sections.push({ title, level, tables, ...(back === undefined ? {} : { back }) });
    return tables;
  }

  /** Back in a part after one inside it: the words for it. */
  #back(title: string, level: number, wasConditional: boolean): Worktable[] {
    if (title !== '' && level > 2) return this.#open('', level, `${title}, continued`);
    return this.#open('', level, wasConditional ? 'In every case' : undefined);
  }

  /** Nodes that follow one another: steps gather in tables, and blocks with a name get a heading. */
  #body(nodes: readonly PlanNode[], columns: readonly Column[], title: string, level: number): void {
    let tables = this.#open(title, level);
    let rows: Row[] = [];
    const flush = (): void => {
      if (rows.length > 0) tables.push({ columns, rows });
      rows = [];
    };
    for (const node of nodes) {
      if (node.node === 'block' && this.#isLoop(node)) {
        flush();
        const opened = this.#sections.length;
        this.#loop(node, tables, title, level);
        // What comes after the loop stands after it, under its own heading or under none.
        if (this.#sections.length > opened) tables = this.#back(title, level, false);
        continue;
      }
      const name = node.node === 'block' ? this.#titleOf(node) : undefined;
      if (node.node === 'block' && (name !== undefined || this.#hasLoop(node))) {
        flush();
        const onlyIf = this.#onlyIf(node);
        const heading = name ?? capital(node.id.replaceAll('-', ' '));
        const before = this.#sections.length;
        this.#body(this.#children(node), columns, heading, Math.min(level + 1, 5));
        const opened = this.#sections[before];
        if (opened !== undefined && onlyIf !== '') opened.onlyIf = `${onlyIf}`;
        tables = this.#back(title, level, onlyIf !== '');
        continue;
      }
      this.#rows([[node]], columns, rows);
    }
    flush();
  }

  #loop(loop: BlockNode, tables: Worktable[], title: string, level: number): void {
    const passes = this.#children(loop).filter((node): node is BlockNode => node.node === 'block');
    const name = passes.find((pass) => pass.title !== undefined)?.title;
    const into = name === undefined || name === title ? tables : this.#open(name, Math.min(level + 1, 5));
    const inner = passes.map((pass) => this.#innerLoops(pass));
    const isSplit = inner.some((one) => one.length > 0);
    if (isSplit && inner.some((one) => one.length !== 1)) {
      // Several loops in one pass: the passes stand one below the other.
      for (const pass of passes)
        this.#body(this.#children(pass), plain, this.#labelOf(pass).label, Math.min(level + 1, 5));
      return;
    }
    const columns = passes.flatMap((pass, number): Column[] => {
      const own = this.#labelOf(pass);
      const within = inner[number]?.[0];
      if (within === undefined) return [{ ...own, passes: [pass.index] }];
      return this.#children(within).map((one) => ({
        ...this.#labelOf(one),
        around: own.label,
        passes: [pass.index, one.index],
      }));
    });
    const start = this.#last;
    for (const some of inGroups(columns, MOST_COLUMNS)) {
      const rows: Row[] = [];
      // The same step has the same number in every column, those of a further table too.
      this.#last = start;
      this.#rows(
        some.map(({ passes: [outer = -1] }) => this.#inside(outer)),
        some,
        rows,
      );
      into.push({ columns: some, rows });
    }
  }

  #inside(index: number): readonly PlanNode[] {
    const node = this.#plan.nodes[index];
    return node?.node === 'block' ? this.#children(node) : [];
  }

  /** Loops over other bores inside a pass, whose passes are columns of their own. */
  #innerLoops(pass: BlockNode): readonly BlockNode[] {
    return this.#children(pass).flatMap((node): readonly BlockNode[] => {
      if (node.node !== 'block') return [];
      if (!this.#isLoop(node)) return this.#innerLoops(node);
      return this.#children(node).some((one) => one.bore !== pass.bore) ? [node] : [];
    });
  }

  /** Lists of nodes, one for each column, laid over one another into rows. */
  #rows(lists: readonly (readonly PlanNode[])[], columns: readonly Column[], rows: Row[]): void {
    for (const key of keysOf(lists)) {
      const at = lists.map((list) => list.find((node) => node.id === key));
      const first = at.find((node) => node !== undefined);
      if (first === undefined) continue;
      if (first.node === 'step') {
        rows.push({
          row: 'step',
          number: this.#number(at),
          at: at.map((node) => (node?.node === 'step' ? node : undefined)),
        });
      } else if (first.node === 'hold') {
        rows.push({
          row: 'hold',
          number: this.#number(at),
          at: at.map((node) => (node?.node === 'hold' ? node : undefined)),
        });
      } else if (first.node === 'choose') this.#choice(at, columns, rows);
      else this.#blockRows(first, at, columns, rows);
    }
  }

  #blockRows(
    first: BlockNode,
    at: readonly (PlanNode | undefined)[],
    columns: readonly Column[],
    rows: Row[],
  ): void {
    const childrenOf = (node: PlanNode | undefined): readonly PlanNode[] =>
      node?.node === 'block' ? this.#children(node) : [];
    if (!this.#isLoop(first)) {
      const onlyIf = this.#onlyIfAll(at, columns);
      const title = this.#titleOf(first);
      if (title !== undefined || onlyIf !== '')
        rows.push({ row: 'heading', title: title ?? '', ...(onlyIf === '' ? {} : { onlyIf }) });
      this.#rows(at.map(childrenOf), columns, rows);
      if (onlyIf !== '') rows.push({ row: 'heading', title: 'In every case' });
      return;
    }
    // A loop whose passes are columns already.
    const chosen = at.map((node, column) => {
      const passes = columns[column]?.passes ?? [];
      return childrenOf(node).find((pass) => passes.includes(pass.index));
    });
    if (chosen.some((pass) => pass !== undefined)) {
      this.#rows(chosen.map(childrenOf), columns, rows);
      return;
    }
    const lists = at.map(childrenOf);
    if (this.#letter !== '' && lists.flat().every((one) => isOnlyDone(this.#plan, one))) {
      this.#passesAsOne(lists.flat(), rows);
      return;
    }
    for (const key of keysOf(lists)) {
      const passes = lists.map((list) => list.find((node) => node.id === key));
      const one = passes.find((node) => node !== undefined);
      if (one?.node !== 'block') continue;
      rows.push({ row: 'heading', title: [one.title, this.#labelOf(one).label].filter(Boolean).join(': ') });
      this.#rows(passes.map(childrenOf), columns, rows);
    }
  }

  /** The passes of a loop in a rework as one list, with a box for each of them at each of its steps. */
  #passesAsOne(passes: readonly PlanNode[], rows: Row[]): void {
    const labels = passes.map((one) => this.#labelOf(one));
    const values = [...new Set(labels.map((one) => one.value))];
    const [first] = labels;
    rows.push({
      row: 'heading',
      title: `For each ${first?.label.replace(/ [^ ]*$/, '') ?? ''} N, one after the other: ${values.join(', ')}`,
    });
    const own: Row[] = [];
    this.#rows(
      passes.map((one) => (one.node === 'block' ? this.#children(one) : [])),
      labels.map((one) => ({ ...one, passes: [] })),
      own,
    );
    rows.push(...own.map((row) => (row.row === 'step' ? { ...row, passes: values } : row)));
    rows.push({ row: 'heading', title: 'In every case' });
  }

  #choice(at: readonly (PlanNode | undefined)[], columns: readonly Column[], rows: Row[]): void {
    const choices = at.map((node) => (node?.node === 'choose' ? node : undefined));
    const first = choices.find((node) => node !== undefined);
    if (first === undefined) return;
    const body = (index: number | undefined): readonly PlanNode[] => this.#inside(index ?? -1);
    // A case that the variant settles is the only one.
    for (const [number, one] of first.cases.entries()) {
      const fixed = settled(one.when);
      if (fixed === false) continue;
      if (fixed !== true)
        rows.push({
          row: 'heading',
          title: '',
          onlyIf: decisionInWords(this.#plan, this.#pack, one.when, this.#stepOfEntry),
        });
      this.#rows(
        choices.map((node) => body(node?.cases[number]?.body)),
        columns,
        rows,
      );
      if (fixed === true) return;
    }
    const isOnly = first.cases.every((one) => settled(one.when) === false);
    if (first.otherwise >= 0) {
      if (!isOnly) rows.push({ row: 'heading', title: '', onlyIf: 'none of the cases above' });
      this.#rows(
        choices.map((node) => body(node?.otherwise)),
        columns,
        rows,
      );
    }
    if (!isOnly) rows.push({ row: 'heading', title: 'In every case' });
  }

  #number(at: readonly (PlanNode | undefined)[]): string {
    this.#last += 1;
    const number = `${this.#letter}${this.#last}`;
    for (const node of at) {
      if (node === undefined) continue;
      this.#numbers.set(node.index, number);
      if (node.node === 'step')
        for (const entry of node.entries) if (!this.#entries.has(entry)) this.#entries.set(entry, number);
    }
    return number;
  }

  #isLoop(node: BlockNode): boolean {
    const [first] = this.#children(node);
    return first?.node === 'block' && first.pointer === node.pointer;
  }

  #hasLoop(node: BlockNode): boolean {
    return this.#children(node).some(
      (one) => one.node === 'block' && (this.#isLoop(one) || this.#hasLoop(one)),
    );
  }

  #onlyIf(node: BlockNode): string {
    return node.onlyIf === undefined
      ? ''
      : decisionInWords(this.#plan, this.#pack, node.onlyIf, this.#stepOfEntry);
  }

  /** The condition of a block for all columns, with N where it names what is at the head of the column. */
  #onlyIfAll(at: readonly (PlanNode | undefined)[], columns: readonly Column[]): string {
    const here = at.flatMap((node, column) =>
      node?.node === 'block' ? [{ words: this.#onlyIf(node), value: columns[column]?.value ?? '' }] : [],
    );
    const { pieces, gaps } = mergeTexts(here.map(({ words }) => words));
    return pieces
      .map((piece) => {
        if (typeof piece === 'string') return piece;
        const values = gaps[piece] ?? [];
        return values.every((value, place) => value === here[place]?.value)
          ? 'N'
          : [...new Set(values)].join(' or ');
      })
      .join('');
  }

  #titleOf(node: BlockNode): string | undefined {
    return titleOfBlock(this.#pack, node);
  }

  #labelOf(pass: PlanNode): { readonly label: string; readonly value: string } {
    const [, name = '', value = ''] = /([^/.=]+)=([^/]*)$/.exec(pass.id) ?? [];
    return { label: `${name.replaceAll('-', ' ')} ${value}`, value };
  }
}

/** A rework whose places are still being found. */
interface OpenRework extends Rework {
  readonly steps: string[];
  readonly holds: string[];
  times: number;
}

interface Asked {
  readonly bodies: readonly number[];
  readonly times: number;
  readonly step?: string;
  readonly hold?: string;
}

/** What a verdict of a step may lead to. */
const sides: readonly ((step: StepNode) => Remedy | undefined)[] = [
  ({ check }) => (check?.check === 'tolerance' ? check.high : check?.nonconforming),
  ({ check }) => (check?.check === 'tolerance' ? check.low : undefined),
  ({ check }) => (check?.check === 'tolerance' ? check.inconclusive : undefined),
  ({ struck }) => struck,
];

const stepsOf = (rows: readonly Row[]): readonly StepNode[] =>
  rows.flatMap((row) => (row.row === 'step' ? row.at.flatMap((one) => one ?? []) : []));

/** The steps that a body leads through, without those of the reworks inside it. */
function stepsInBody(plan: Plan, body: PlanNode): readonly StepNode[] {
  const found: StepNode[] = [];
  for (let at = body.index + 1; at < body.end; ) {
    const node = plan.nodes[at];
    if (node === undefined) break;
    if (node.node === 'step') found.push(node);
    at = node.node === 'step' || node.node === 'hold' ? node.end : at + 1;
  }
  return found;
}

/** Whether nothing is written down, judged or signed in a node, and no hold stands in it. */
const isOnlyDone = (plan: Plan, node: PlanNode): boolean =>
  plan.nodes
    .slice(node.index, node.end)
    .every(
      (one) =>
        one.node === 'block' ||
        (one.node === 'step' &&
          one.entries.length === 0 &&
          one.check === undefined &&
          one.witness === undefined &&
          !one.acknowledge),
    );

/** A step that is done, with nothing to write down. */
const isSaidInPassing = (row: Row): boolean =>
  row.row === 'step' &&
  row.at.every(
    (step) =>
      step === undefined ||
      (step.entries.length === 0 &&
        step.check === undefined &&
        step.witness === undefined &&
        !step.acknowledge &&
        step.onlyIf === undefined &&
        (step.act === undefined || step.act.act !== 'tighten')),
  );

/** `A`, `B`, … `Z`, `AA`. */
const letterOfList = (index: number): string =>
  `${index < 26 ? '' : String.fromCharCode(64 + Math.floor(index / 26))}${String.fromCharCode(65 + (index % 26))}`;

/** The title of a block: its own, or that of the procedure that it performs. */
export function titleOfBlock(pack: Pack, node: BlockNode): string | undefined {
  if (node.title !== undefined) return node.title;
  const written = valueAt(pack, node.pointer);
  if (typeof written !== 'object' || written === null || !('perform' in written)) return undefined;
  return typeof written.perform === 'string' ? pack.procedures[written.perform]?.title : undefined;
}

/** Whether a node is the block of what is confirmed before or after the work. */
const isConfirmations = (node: PlanNode): boolean =>
  node.node === 'block' &&
  ((node.path === 'preliminary' && node.pointer.endsWith('/preliminary')) ||
    (node.path === 'afterwards' && node.pointer.endsWith('/afterwards')));

/** Ids of nodes in an order that keeps that of every list, as far as they agree. */
function keysOf(lists: readonly (readonly PlanNode[])[]): readonly string[] {
  const keys: string[] = [];
  for (const list of lists) {
    let at = 0;
    for (const { id } of list) {
      const known = keys.indexOf(id);
      if (known >= 0) at = known + 1;
      else keys.splice(at++, 0, id);
    }
  }
  return keys;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function inGroups<T>(all: readonly T[], most: number): readonly (readonly T[])[] {
  const groups: (readonly T[])[] = [];
  const size = Math.ceil(all.length / Math.max(1, Math.ceil(all.length / most)));
  for (let from = 0; from < all.length; from += size) groups.push(all.slice(from, from + size));
  return groups;
}
