import {
  type Answers,
  type Control,
  decide,
  failing,
  PHASE,
  type Plan,
  type Refusal,
  type StepNode,
  start,
  type Trial,
} from '@ferrule/engine';
import { firstWays } from '@ferrule/engine/proof';
import { saysNoStep } from './says-no-step.ts';
import { ScriptedPerson } from './scripted-person.ts';

/** What is not as a placed trial expects, and which laws and requirements refused its act. */
export interface PlacedResult {
  readonly failures: readonly string[];
  /** Pointers. */
  readonly refusedBy: readonly string[];
}

/** Tries one act directly before a step, in stated states: for laws that a whole job never comes to break. */
export function tryPlaced(plan: Plan, trial: Trial, answers: Answers, bundle: string): PlacedResult {
  const { placed, expect } = trial;
  const failed = (...failures: readonly string[]): PlacedResult => ({ failures, refusedBy: [] });
  if (placed === undefined) return failed();
  const nodes = plan.nodes.filter((node) => node.path === placed.at || node.path.endsWith(`/${placed.at}`));
  const node = nodes.find((one) => one.path === placed.at) ?? nodes[0];
  if (nodes.length > 1 && node?.path !== placed.at) {
    return failed(`${nodes.length} steps end with ${placed.at}: say which, for example ${node?.path ?? ''}.`);
  }
  if (node?.node !== 'step') return failed(saysNoStep(plan.nodes, placed.at));
  const way = firstWays(plan).get(node.index);
  if (way === undefined) return failed(`No way leads to ${node.path}.`);
  const control = withStates(plan, way, placed);
  if (typeof control === 'string') return failed(control);
  control.bytes[plan.cells.length + node.index] = PHASE.act;
  const person = new ScriptedPerson(plan, answers);
  const at = '2026-01-05T07:00:00Z';
  const by = person.worker();
  const started = start(
    plan,
    { bundle, persons: person.persons(), instruments: person.instruments() },
    { at, by, id: 's1' },
  );
  if (started.refusals !== undefined)
    return failed(`The job does not start: ${started.refusals[0]?.message ?? ''}`);
  const job = { ...started.job, control };
  const together =
    node.together === undefined
      ? {}
      : { together: person.persons().find((one) => one.role === node.together)?.person ?? '' };
  const decided = decide(plan, job, { command: 'done', step: node.path, ...together }, { at, by, id: 's2' });
  const refusals = decided.refusals ?? [];
  return { failures: against(expect, refusals), refusedBy: guardsOf(node, control, refusals) };
}

function against(expect: Trial['expect'], refusals: readonly Refusal[]): readonly string[] {
  if (expect.outcome !== 'refused')
    return refusals.map((one) => `outcome: expected ${expect.outcome}, found refused (${one.message}).`);
  if (refusals.length === 0) return ['outcome: expected refused, and it was done.'];
  const codes = refusals.map((one) => one.code);
  const failures: string[] = [];
  if (expect.refused !== undefined && !codes.includes(expect.refused))
    failures.push(`refused: expected ${expect.refused}, found ${codes.join(', ')}.`);
  const laws = lawsIn(refusals);
  if (expect.law !== undefined && !laws.includes(expect.law))
    failures.push(`law: expected ${expect.law}, found ${laws.join(', ') || 'none'}.`);
  return failures;
}

const lawsIn = (refusals: readonly Refusal[]): readonly string[] =>
  refusals.flatMap((one) => (one.code === 'interlock' && one.about !== undefined ? [one.about] : []));

/** Where the laws and requirements stand that spoke against the act. */
function guardsOf(node: StepNode, control: Control, refusals: readonly Refusal[]): readonly string[] {
  const laws = lawsIn(refusals);
  const isRequired = refusals.some((one) => one.code === 'requirement');
  const required = isRequired ? failing(node.guards, control.bytes) : [];
  return [
    ...[...node.guards, ...node.invariants].filter(
      ({ because }) => because.guard === 'interlock' && laws.includes(because.law),
    ),
    ...required.filter(({ because }) => because.guard === 'requirement'),
  ].map((guard) => guard.pointer);
}

function withStates(plan: Plan, way: Control, placed: NonNullable<Trial['placed']>): Control | string {
  const bytes = way.bytes.slice();
  for (const [name, value] of Object.entries(placed.states ?? {})) {
    const cell = plan.cells.findIndex((one) => one.cell === 'state' && one.name === name);
    const declared = plan.cells[cell];
    if (declared?.cell !== 'state') return `There is no state ${name}.`;
    const number = declared.values.indexOf(value);
    if (number < 0) return `${name} is never ${value}.`;
    bytes[cell] = number;
  }
  if (placed.crank !== undefined) {
    const position = plan.crank.positions.findIndex(
      (one) => one.mark === placed.crank || one.title === placed.crank,
    );
    const angle = plan.crank.positions.findIndex((one) => `${one.at.toDecimal(0)}°` === placed.crank);
    if (placed.crank !== 'unknown' && position < 0 && angle < 0)
      return `There is no crank position ${placed.crank}.`;
    bytes[0] = Math.max(position, angle) + 1;
  }
  return { ...way, hold: -1, bytes };
}
