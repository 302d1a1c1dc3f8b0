import { type Answers, type Control, decide, PHASE, type Plan, start, type Trial } from '@ferrule/engine';
import { firstWays } from '@ferrule/engine/proof';
import { ScriptedPerson } from './scripted-person.ts';

/**
 * Tries one act directly before a step, in stated states: for laws that a whole job never comes to break. Answers what
 * is not as the trial expects.
 */
export function tryPlaced(plan: Plan, trial: Trial, answers: Answers, bundle: string): readonly string[] {
  const { placed, expect } = trial;
  if (placed === undefined) return [];
  const nodes = plan.nodes.filter((node) => node.path === placed.at || node.path.endsWith(`/${placed.at}`));
  const node = nodes.find((one) => one.path === placed.at) ?? nodes[0];
  if (nodes.length > 1 && node?.path !== placed.at) {
    return [`${nodes.length} steps end with ${placed.at}: say which, for example ${node?.path ?? ''}.`];
  }
  if (node?.node !== 'step') return [`There is no step ${placed.at}.`];
  const way = firstWays(plan).get(node.index);
  if (way === undefined) return [`No way leads to ${node.path}.`];
  const control = withStates(plan, way, placed);
  if (typeof control === 'string') return [control];
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
    return [`The job does not start: ${started.refusals[0]?.message ?? ''}`];
  const job = { ...started.job, control };
  const together =
    node.together === undefined
      ? {}
      : { together: person.persons().find((one) => one.role === node.together)?.person ?? '' };
  const decided = decide(plan, job, { command: 'done', step: node.path, ...together }, { at, by, id: 's2' });
  const refusals = decided.refusals ?? [];
  if (expect.outcome !== 'refused')
    return refusals.map((one) => `outcome: expected ${expect.outcome}, found refused (${one.message}).`);
  if (refusals.length === 0) return ['outcome: expected refused, and it was done.'];
  const codes = refusals.map((one) => one.code);
  const failures: string[] = [];
  if (expect.refused !== undefined && !codes.includes(expect.refused))
    failures.push(`refused: expected ${expect.refused}, found ${codes.join(', ')}.`);
  const laws = refusals.flatMap((one) =>
    one.code === 'interlock' && one.about !== undefined ? [one.about] : [],
  );
  if (expect.law !== undefined && !laws.includes(expect.law))
    failures.push(`law: expected ${expect.law}, found ${laws.join(', ') || 'none'}.`);
  return failures;
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
