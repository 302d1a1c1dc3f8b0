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
    report.add(codeOf(refutation), pointer, messageOf(refutation, after) + where, {
      ...otherOf(refutation, plan),
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

/** The place that lays down what does not hold, where that is another than the place of the fault. */
function otherOf(refutation: Refutation, plan: Plan | undefined): Pick<Details, 'other'> {
  switch (refutation.property) {
    case 'law':
      return refutation.guard.pointer === refutation.pointer
        ? {}
        : { other: [{ pointer: refutation.guard.pointer, message: 'where it is laid down' }] };
    case 'judged': {
      const entry = plan?.entries.find((one) => one.name === refutation.entry);
      return entry === undefined || entry.pointer === refutation.pointer
        ? {}
        : { other: [{ pointer: entry.pointer, message: 'the reading' }] };
    }
    default:
      return {};
  }
}

/** What an author can do about it. */
function remedyOf(refutation: Refutation, plan: Plan | undefined): { readonly remedy?: string } {
  const isStruck = refutation.trace.some((one) => one.signal.signal === 'struck');
  switch (refutation.property) {
    case 'law':
      return {
        remedy: isStruck
          ? 'An entry was struck on that way, and its way back leads on in other states. Say in requires of its first step when it may be begun, or undo more in it.'
          : 'Follow the numbered way below: a step on it leaves out a change, stands too early or too late, or a rework does not undo what it should.',
      };
    case 'goes-on':
      return {
        remedy:
          'Follow the numbered way below: a reading that is needed there is not taken on it, or no case fits what was answered.',
      };
    case 'one-case':
      return { remedy: 'Make exactly one case true for each value, or add otherwise.' };
    case 'judged':
      return {
        remedy: `Judge ${refutation.entry} in the step that reads it, or on every way before this place.`,
      };
    case 'ends':
      return endRemedy(refutation, plan);
  }
}

/** How a state stands at the end instead. What else an end asks for says itself what is to do. */
function endRemedy(
  { guard, states }: Extract<Refutation, { property: 'ends' }>,
  plan: Plan | undefined,
): { readonly remedy?: string } {
  const cell = 'cell' in guard.test ? plan?.cells[guard.test.cell] : undefined;
  if (cell?.cell === 'part')
    return { remedy: 'Renew what was removed, or compare what was fitted, in a step on that way.' };
  if (cell?.cell === 'entry')
    return { remedy: 'Take it again, and judge it again, behind the step that disturbs it.' };
  const value = cell === undefined ? undefined : states.get(cell.name);
  return value === undefined || cell === undefined
    ? {}
    : {
        remedy: `${cell.name} is ${value} there. Change it in a step on that way, or add ${value} to its ends.`,
      };
}

const placeOf = (refutation: Refutation): string =>
  refutation.property === 'ends' ? refutation.guard.pointer : refutation.pointer;

function saysOf(refutation: Refutation): string {
  switch (refutation.property) {
    case 'goes-on':
      return '';
    case 'one-case':
      return refutation.areTrue.join(' / ');
    case 'judged':
      return refutation.entry;
    default:
      return refutation.guard.because.says;
  }
}

const codeOf = (refutation: Refutation): DiagnosticCode => codeOfProperty[refutation.property];

/** The diagnostic that each property of the proof comes to. */
export const codeOfProperty = {
  law: 'law-broken',
  'goes-on': 'dead-end',
  'one-case': 'dead-end',
  judged: 'relied-unjudged',
  ends: 'wrong-end',
} as const satisfies Readonly<Record<Refutation['property'], DiagnosticCode>>;

function messageOf(refutation: Refutation, after: string): string {
  switch (refutation.property) {
    case 'law':
      return `${refutation.node} can be reached, ${after}, when it must not be done: ${saysOf(refutation)}`;
    case 'goes-on':
      return `${refutation.node} can be reached, ${after}, and nothing carries the job on from there.`;
    case 'one-case': {
      const { areTrue, node } = refutation;
      return areTrue.length === 0
        ? `${node} can be reached, ${after}, with a value for which no case is true.`
        : `${node} can be reached, ${after}, with a value for which ${areTrue.length} cases are true at once.`;
    }
    case 'judged':
      return refutation.atEnd
        ? `The end can be reached, ${after}, before ${refutation.entry} was held against its limits.`
        : `${refutation.node} can be reached, ${after}, and relies on ${refutation.entry} before that was held against its limits.`;
    case 'ends':
      return `The end can be reached, ${after}, in the wrong state: ${saysOf(refutation)}`;
  }
}

/** Reports where a procedure says how it may be left, and no way ever allows it. */
export function reportParking(plans: readonly Plan[], proofs: readonly Proof[], report: Report): void {
  plans.forEach(({ parking, procedure, variant }, number) => {
    const exploration = proofs[number]?.exploration;
    if (parking === undefined || exploration === undefined || exploration.canPark) return;
    if (exploration.cutShort || exploration.refutations.length > 0) return;
    report.add(
      'never-parked',
      parking.guard.pointer,
      `Nowhere in ${procedure.id} for ${variant.id} are the states so that the job could be left: ${parking.guard.because.says}`,
      { remedy: 'Name states that hold together somewhere on the way, or leave parking out.' },
    );
  });
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
