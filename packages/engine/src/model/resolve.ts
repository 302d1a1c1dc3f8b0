import { Checks } from './checks.ts';
import type { Diagnostic } from './diagnostic.ts';
import { Entries } from './entries.ts';
import { type Frame, listOf } from './frame.ts';
import type { Overlaid, Pack, Procedure } from './generated/document.ts';
import { Laws } from './laws.ts';
import { ENTRY, type Guard, PART, type Plan, type PlanNode, type PlanParking, partValues } from './plan.ts';
import { planInstruments } from './plan-instruments.ts';
import { pointerTo } from './pointer.ts';
import { Report } from './report.ts';
import { resolveVariant } from './resolve-variant.ts';
import { ExpressionRewriter } from './rewrite-expression.ts';
import { Selections } from './selections.ts';
import { Tracked } from './tracked.ts';
import { Unroll } from './unroll.ts';

export interface ResolveRequest {
  readonly procedure: string;
  readonly variant: string;
}

export interface Resolved {
  /** There only when nothing is wrong with the pack. */
  readonly plan?: Plan;
  readonly diagnostics: readonly Diagnostic[];
  /** Nodes and cells that were written out, whether or not something is wrong with them. */
  readonly size: number;
}

/**
 * Resolves a procedure of a pack for one variant into a plan: every name bound, every loop written out, every expression
 * typed. The pack has been held against the written format by `validate`; references, types and units are checked here.
 * `report` may be shared by several resolutions of one pack, so that each fault is reported once.
 */
export function resolve(pack: Pack, request: ResolveRequest, report = new Report()): Resolved {
  const document = Object.hasOwn(pack.procedures, request.procedure)
    ? pack.procedures[request.procedure]
    : undefined;
  if (document === undefined) {
    report.unknown('procedure', request.procedure, Object.keys(pack.procedures), '/procedures');
    return { diagnostics: report.diagnostics, size: 0 };
  }
  if (!Object.hasOwn(pack.variants, request.variant)) {
    const listed = document.variants?.indexOf(request.variant) ?? -1;
    const at = listed < 0 ? '/variants' : pointerTo('/procedures', request.procedure, 'variants', listed);
    report.unknown('variant', request.variant, Object.keys(pack.variants), at);
    return { diagnostics: report.diagnostics, size: 0 };
  }
  if (document.variants !== undefined && !document.variants.includes(request.variant)) {
    report.add(
      'unknown-name',
      pointerTo('/procedures', request.procedure, 'variants'),
      `${request.procedure} is not written for ${request.variant}.`,
      {
        remedy: `It is written for ${document.variants.join(', ')}.`,
      },
    );
    return { diagnostics: report.diagnostics, size: 0 };
  }
  const plan = build(pack, request, document, report);
  const size = plan.nodes.length + plan.cells.length;
  const { diagnostics } = report;
  return report.hasErrors ? { diagnostics, size } : { plan, diagnostics, size };
}

function build(pack: Pack, request: ResolveRequest, document: Procedure, report: Report): Plan {
  const variant = resolveVariant(pack, request.variant, report);
  const tracked = new Tracked(pack, variant, report);
  const entries = new Entries(pack, variant, tracked, report);
  const rewriter = new ExpressionRewriter(pack, variant, report);
  const checks = new Checks(pack, entries, tracked, rewriter, report);
  const laws = new Laws(pack, tracked, report);
  const selections = new Selections(pack, entries, checks, report);
  const unroll = new Unroll({ pack, variant, tracked, entries, rewriter, checks, laws, selections, report });
  const pointer = pointerTo('/procedures', request.procedure);
  const frame: Frame = { procedure: request.procedure, document, pointer, prefix: '', bindings: new Map() };
  report.use('procedures', request.procedure);

  unroll.procedure(frame);
  const elapsed = unroll.elapsed();
  checks.finish(elapsed);
  selections.finish();
  const nodes = unroll.finish(elapsed);
  entries.reportCarried();
  const starts = startsOf(pack, document, pointer, tracked, report);
  const ends = [...endsOf(pack, document, pointer, tracked, report), ...undisturbed(nodes, entries)];
  const parking = parkingOf(pack, document, pointer, tracked, report);
  for (const role of document.preliminary?.persons ?? []) {
    if (!Object.hasOwn(pack.roles ?? {}, role)) {
      report.unknown(
        'role',
        role,
        Object.keys(pack.roles ?? {}),
        pointerTo(pointer, 'preliminary', 'persons'),
      );
    }
    report.use('roles', role);
  }
  reportUnasked(nodes, document, pointer, report);
  const { overlaid } = pack;
  const read = entries.list.flatMap((entry) =>
    entry.entry === 'reading' && entry.instrument !== undefined
      ? [[entry.instrument, entry.carry] as const]
      : [],
  );
  const wrenches = nodes.flatMap((node) =>
    node.node === 'step' && node.act?.act === 'tighten' ? (node.act.wrench ?? []) : [],
  );
  const needed = new Set([...read.map(([instrument]) => instrument), ...wrenches]);
  const asked = new Set([
    ...read.flatMap(([instrument, carry]) => (carry === undefined ? instrument : [])),
    ...wrenches,
  ]);

  return {
    pack: {
      id: pack.pack,
      revision: pack.revision,
      title: pack.title,
      ...(pack.notice === undefined ? {} : { notice: pack.notice }),
      ...(overlaid === undefined ? {} : { overlay: overlayOf(overlaid) }),
    },
    procedure: { id: request.procedure, title: document.title },
    variant: { id: variant.id, title: variant.title },
    nodes,
    cells: tracked.cells,
    starts,
    ends,
    entries: entries.list,
    // All of them are there when nothing is wrong, and otherwise there is no plan.
    tolerances: checks.tolerances.filter((one) => one !== undefined),
    conditions: checks.conditions.filter((one) => one !== undefined),
    elapsed: elapsed.list,
    selections: selections.list.filter((one) => one !== undefined),
    holds: unroll.holds,
    crank: variant.crank,
    ...(parking === undefined ? {} : { parking }),
    roles: Object.entries(pack.roles ?? {}).map(([id, role]) => ({ id, title: role.title })),
    persons: document.preliminary?.persons ?? [],
    instruments: planInstruments(pack, needed, report).map((one) =>
      asked.has(one.id) ? one : { ...one, onlyIfMeasured: true },
    ),
    hazards: Object.entries(pack.hazards ?? {}).map(([id, hazard]) => ({
      id,
      signal: hazard.signal,
      text: hazard.text,
      acknowledge: hazard.acknowledge !== undefined,
    })),
    dueNext: document['due-next'] ?? [],
    exports: checks.exported(frame, variant.bores),
  };
}

/** Roles that steps need beside the technician's, and that nobody has to fill when the job starts. */
function reportUnasked(
  nodes: readonly PlanNode[],
  document: Procedure,
  pointer: string,
  report: Report,
): void {
  const persons = document.preliminary?.persons;
  if (persons === undefined) return;
  for (const node of nodes) {
    if (node.node !== 'step') continue;
    for (const [key, role] of [
      ['witness', node.witness],
      ['together-with', node.together],
    ] as const) {
      if (role === undefined || persons.includes(role)) continue;
      report.add('unasked-role', pointerTo(node.pointer, key), `${role} is not asked for before the work.`, {
        severity: 'warning',
        remedy: `Add ${role} to preliminary.persons.`,
        other: [{ pointer: pointerTo(pointer, 'preliminary', 'persons'), message: 'who is asked for' }],
      });
    }
  }
}

function startsOf(
  pack: Pack,
  document: Procedure,
  pointer: string,
  tracked: Tracked,
  report: Report,
): readonly number[] {
  const starts = [...tracked.starts];
  for (const [state, value] of Object.entries(document.starts ?? {})) {
    const at = pointerTo(pointer, 'starts', state);
    if (!Object.hasOwn(pack.states ?? {}, state)) {
      report.unknown('state', state, Object.keys(pack.states ?? {}), at);
      continue;
    }
    const number = tracked.value(state, value, at);
    tracked.cells.forEach((cell, index) => {
      if (cell.cell === 'state' && cell.state === state && number !== undefined) starts[index] = number;
    });
  }
  return starts;
}

function endsOf(
  pack: Pack,
  document: Procedure,
  pointer: string,
  tracked: Tracked,
  report: Report,
): readonly Guard[] {
  const ends: Guard[] = [];
  for (const [state, declared] of Object.entries(pack.states ?? {})) {
    const own = document.ends?.[state];
    const at = own === undefined ? pointerTo('/states', state, 'ends') : pointerTo(pointer, 'ends', state);
    const values = listOf(own ?? declared.ends);
    const numbers = values.flatMap((value) => tracked.value(state, value, at) ?? []);
    if (declared.is.indexOf(declared.starts) < 0)
      tracked.value(state, declared.starts, pointerTo('/states', state, 'starts'));
    tracked.cells.forEach((cell, index) => {
      if (cell.cell !== 'state' || cell.state !== state) return;
      ends.push({
        test: { cell: index, among: numbers },
        because: { guard: 'ends', says: `At the end ${cell.name} has to be ${values.join(' or ')}.` },
        pointer: at,
      });
    });
  }
  for (const state of Object.keys(document.ends ?? {})) {
    if (!Object.hasOwn(pack.states ?? {}, state))
      report.unknown('state', state, Object.keys(pack.states ?? {}), pointerTo(pointer, 'ends', state));
  }
  tracked.cells.forEach((cell, index) => {
    if (cell.cell !== 'part') return;
    const title = pack.parts?.[cell.part]?.title ?? cell.part;
    const wrong: readonly number[] = [PART.removed, PART.other];
    ends.push({
      test: { cell: index, among: partValues.flatMap((_, value) => (wrong.includes(value) ? [] : [value])) },
      because: {
        guard: 'ends',
        says: `${title} (${cell.name}): what was removed has to be renewed, and no other's may be fitted.`,
      },
      pointer: pointerTo('/parts', cell.part),
    });
  });
  return ends;
}

/** A reading that a step has made stale has to be there again at the end: taken anew, and not struck or left out since. */
function undisturbed(nodes: readonly PlanNode[], entries: Entries): readonly Guard[] {
  const noted = new Map(
    nodes.flatMap((node) =>
      node.node === 'step' ? node.disturbs.map((one) => [one.cell, one.noted] as const) : [],
    ),
  );
  return entries.list.flatMap(({ cell, name, pointer }) => {
    const mark = noted.get(cell);
    if (mark === undefined) return [];
    return {
      test: {
        any: [
          { cell, among: [ENTRY.held] },
          { cell: mark, among: [0] },
        ],
      },
      because: {
        guard: 'ends' as const,
        says: `${name} was disturbed, and has to be taken again before the end.`,
      },
      pointer,
    };
  });
}

function parkingOf(
  pack: Pack,
  document: Procedure,
  pointer: string,
  tracked: Tracked,
  report: Report,
): PlanParking | undefined {
  const { parking } = document;
  if (parking === undefined) return undefined;
  const at = pointerTo(pointer, 'parking');
  const conditions = pack.conditions ?? {};
  const onResuming = parking['on-resuming'].flatMap((id, number) => {
    const condition = Object.hasOwn(conditions, id) ? conditions[id] : undefined;
    if (condition === undefined)
      report.unknown('condition', id, Object.keys(conditions), pointerTo(at, 'on-resuming', number));
    report.use('conditions', id);
    return condition === undefined ? [] : [{ id, text: condition.text }];
  });
  const where = pointerTo(at, 'only-while');
  const test = tracked.test(parking['only-while'], {}, where);
  const says = `parking needs ${Tracked.says(parking['only-while'])}.`;
  return {
    guard: { test, because: { guard: 'requirement', says }, pointer: where },
    instructions: parking.instructions,
    onResuming,
  };
}

const overlayOf = ({ overlay, revision, title, digest, over }: Overlaid) => ({
  ...{ id: overlay, revision, title, digest, over },
});
