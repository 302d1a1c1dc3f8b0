import type { Exploration, Plan, PlanRelease, Refutation, Remedy, Report } from '@ferrule/engine';
import type { Proof } from './check-pack.ts';

/** Reports what an exploration refuted, and where it was cut short. The ways there are in the exploration. */
export function reportProof(plan: Plan, exploration: Exploration, report: Report): void {
  const where = `${plan.procedure.id} for ${plan.variant.id}`;
  for (const refutation of exploration.refutations) {
    const after = `after ${refutation.trace.length} steps of ${where}`;
    const { code, pointer, message } = worded(refutation, after);
    const other =
      refutation.property === 'goes-on' || refutation.guard.pointer === pointer
        ? {}
        : { other: [{ pointer: refutation.guard.pointer, message: 'where it is laid down' }] };
    report.add(code, pointer, message, other);
  }
  if (exploration.cutShort) {
    report.add(
      'unfinished-proof',
      '',
      `The proof of ${where} was cut short after ${exploration.states} states.`,
      { severity: 'warning' },
    );
  } else if (!exploration.reachesEnd) {
    report.add('dead-end', '', `No way through ${where} reaches its end.`);
  }
}

function worded(
  refutation: Refutation,
  after: string,
): { code: 'law-broken' | 'dead-end' | 'wrong-end'; pointer: string; message: string } {
  switch (refutation.property) {
    case 'law':
      return {
        code: 'law-broken',
        pointer: refutation.pointer,
        message: `${refutation.node} can be reached, ${after}, when it must not be done: ${refutation.guard.because.says}`,
      };
    case 'goes-on':
      return {
        code: 'dead-end',
        pointer: refutation.pointer,
        message: `${refutation.node} can be reached, ${after}, and nothing carries the job on from there.`,
      };
    case 'ends':
      return {
        code: 'wrong-end',
        pointer: refutation.guard.pointer,
        message: `The end can be reached, ${after}, in the wrong state: ${refutation.guard.because.says}`,
      };
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
