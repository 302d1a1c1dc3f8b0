import {
  type Details,
  type DiagnosticCode,
  type Plan,
  type PlanRelease,
  pointerTo,
  type Remedy,
  type Report,
} from '@ferrule/engine';
import type { Crowd, Refutation } from '@ferrule/engine/proof';
import type { Proof } from './proof.ts';

/**
 * Reports what the explorations refuted, each fault once with the variants that it shows up in, and where one was cut
 * short. The ways there are in the explorations.
 */
export function reportProofs(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  const faults = new Map<
    string,
    {
      readonly refutation: Refutation;
      readonly proof: Proof;
      readonly plan: Plan | undefined;
      readonly variants: string[];
    }
  >();
  for (const [number, proof] of proofs.entries()) {
    const plan = plans[number];
    const { procedure, variant, exploration } = proof;
    for (const refutation of exploration.refutations) {
      const key = `${procedure} ${refutation.property} ${placeOf(refutation)} ${saysOf(refutation)}`;
      const known = faults.get(key);
      if (known !== undefined) known.variants.push(variant);
      else faults.set(key, { refutation, proof, plan, variants: [variant] });
    }
    if (exploration.cutShort) {
      const message = `The proof of ${procedure} for ${variant} was cut short after ${exploration.states} states.`;
      const at = pointerTo('/procedures', procedure);
      report.add('unfinished-proof', at, message, crowdDetails(exploration.crowd));
    } else if (!exploration.reachesEnd && exploration.refutations.length === 0) {
      report.add(
        'dead-end',
        pointerTo('/procedures', procedure),
        `No way through ${procedure} for ${variant} reaches its end.`,
      );
    }
  }
  for (const { refutation, proof, plan, variants } of faults.values()) {
    const steps = refutation.trace.length;
    const after = `after ${steps} ${steps === 1 ? 'step' : 'steps'} of ${proof.procedure}`;
    const pointer = placeOf(refutation);
    const where = variants.length > 1 ? ` (${variants.join(', ')})` : ` (${proof.variant})`;
    const isElsewhere = refutation.property !== 'goes-on' && refutation.guard.pointer !== pointer;
    report.add(codeOf(refutation), pointer, messageOf(refutation, after) + where, {
      ...(isElsewhere
        ? { other: [{ pointer: refutation.guard.pointer, message: 'where it is laid down' }] }
        : {}),
      ...remedyOf(refutation, plan),
    });
  }
}

/** Names that a message lists; the rest is counted. */
const MOST_NAMES = 8;

/** Where the states of a proof gather, what multiplies them, and what an author can do about it. */
function crowdDetails(crowd: Crowd | undefined): Details {
  if (crowd === undefined) return {};
  const { node, pointer, states, live } = crowd;
  const more = live.length > MOST_NAMES ? ` and ${live.length - MOST_NAMES} more` : '';
  const names = live.slice(0, MOST_NAMES).join(', ') + more;
  const apart = live.length === 0 ? '' : `, told apart by ${names}, which something later still reads`;
  return {
    remedy: `${states} of them stand ${node === undefined ? 'at the end' : `at ${node}`}${apart}. Read these sooner, take an answer out, or split the procedure there.`,
    other: [{ pointer, message: 'where most of the states are' }],
  };
}

/** How a state stands at the end instead. What else an end asks for says itself what is to do. */
function remedyOf(refutation: Refutation, plan: Plan | undefined): { readonly remedy?: string } {
  if (refutation.property !== 'ends' || !('cell' in refutation.guard.test)) return {};
  const cell = plan?.cells[refutation.guard.test.cell];
  const value = cell?.cell === 'state' ? refutation.states.get(cell.name) : undefined;
  return cell?.cell !== 'state' || value === undefined
    ? {}
    : {
        remedy: `${cell.name} is ${value} there. Change it in a step on that way, or add ${value} to its ends.`,
      };
}

const placeOf = (refutation: Refutation): string =>
  refutation.property === 'ends' ? refutation.guard.pointer : refutation.pointer;

const saysOf = (refutation: Refutation): string =>
  refutation.property === 'goes-on' ? '' : refutation.guard.because.says;

const codeOf = (refutation: Refutation): DiagnosticCode =>
  (({ law: 'law-broken', 'goes-on': 'dead-end', ends: 'wrong-end' }) as const)[refutation.property];

function messageOf(refutation: Refutation, after: string): string {
  switch (refutation.property) {
    case 'law':
      return `${refutation.node} can be reached, ${after}, when it must not be done: ${saysOf(refutation)}`;
    case 'goes-on':
      return `${refutation.node} can be reached, ${after}, and nothing carries the job on from there.`;
    case 'ends':
      return `The end can be reached, ${after}, in the wrong state: ${saysOf(refutation)}`;
  }
}

/** Reports steps that no way reaches in any variant. What only a strike leads to is not explored, and left out. */
export function reportUnreached(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  const reached = new Set<string>();
  const unreached = new Map<string, string>();
  plans.forEach((plan, number) => {
    const exploration = proofs[number]?.exploration;
    // A fault on the way hides what lies behind it.
    if (exploration === undefined || exploration.cutShort || exploration.refutations.length > 0) {
      for (const node of plan.nodes) reached.add(node.pointer);
      return;
    }
    const missed = new Set(exploration.unreached);
    const onlyStruck = struckNodes(plan);
    for (const node of plan.nodes) {
      if (node.node !== 'step') continue;
      if (missed.has(node.path) && !onlyStruck.has(node.index)) unreached.set(node.pointer, node.path);
      else reached.add(node.pointer);
    }
  });
  for (const [pointer, path] of unreached) {
    if (reached.has(pointer)) continue;
    report.add('unreachable', pointer, `No way leads to ${path}, in any variant.`, { severity: 'warning' });
  }
}

/** Nodes that only a struck entry leads to. */
function struckNodes(plan: Plan): ReadonlySet<number> {
  const found = new Set<number>();
  const body = (index: number): void => {
    for (let node = index; node < (plan.nodes[index]?.end ?? index); node++) found.add(node);
  };
  const hold = (index: number): void => {
    for (const release of plan.holds[index]?.releases ?? []) releaseBody(release);
  };
  const releaseBody = (release: PlanRelease): void => {
    if (release.by === 'rework') body(release.body);
  };
  const remedy = (one: Remedy): void => {
    if (one.remedy === 'hold') return hold(one.hold);
    body(one.body);
    hold(one.exhausted);
  };
  for (const node of plan.nodes) if (node.node === 'step' && node.struck !== undefined) remedy(node.struck);
  return found;
}
