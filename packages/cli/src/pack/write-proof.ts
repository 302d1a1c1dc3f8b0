import type { CheckReport, Proof } from '@ferrule/check';
import { describeStep, findNode, type Pack, type Plan, resolve, type Signal } from '@ferrule/engine';
import type { Refutation, Trace } from '@ferrule/engine/proof';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';

/** Steps that are shown from the end of a way; the way before them only leads there. */
const LAST_STEPS = 12;

/** The proofs of a checked pack as lines: what was explored, what was refuted and how, what was not reached. */
export function writeProofs({ pack, proofs, positions }: CheckReport): readonly string[] {
  return proofs.flatMap((proof) => [...writeProof(pack, proof, positions), '']);
}

function writeProof(pack: Pack | undefined, proof: Proof, positions: Positions): readonly string[] {
  const { exploration, procedure, variant } = proof;
  const { refutations, unreached, cutShort, reachesEnd } = exploration;
  const verdict = cutShort
    ? 'cut short'
    : refutations.length > 0
      ? `refuted ${refutations.length} times`.replace('1 times', 'once')
      : reachesEnd
        ? 'nothing refuted'
        : 'no end reached';
  const lines = [
    wrap(
      `${procedure} for ${variant}: ${verdict}; ${exploration.states} states of ${proof.steps} steps explored`,
      'proof  ',
    ),
  ];
  const plan =
    pack === undefined || refutations.length === 0 ? undefined : resolve(pack, { procedure, variant }).plan;
  if (plan !== undefined)
    refutations.forEach((one, index) => {
      lines.push(...writeRefutation(plan, one, index + 1, positions));
    });
  if (cutShort) lines.push('  It stopped at its bound before it had seen everything.');
  if (unreached.length > 0 && refutations.length === 0) {
    lines.push(
      wrap(
        `Not reached: ${unreached.length} steps, such as those that only a struck entry leads to; --format json lists them.`,
        '  ',
      ),
    );
  }
  return lines;
}

function writeRefutation(
  plan: Plan,
  refutation: Refutation,
  number: number,
  positions: Positions,
): readonly string[] {
  const { trace } = refutation;
  const shown = trace.slice(-LAST_STEPS);
  const skipped = trace.length - shown.length;
  return [
    wrap(whatFails(plan, refutation), `  ${number}. `),
    ...(skipped > 0 ? [`     ${skipped} steps before these: see --format json`] : []),
    ...shown.map((one, index) =>
      wrap(
        `${whatHappens(plan, one)}${at(positions, one)}`,
        `     ${String(skipped + index + 1).padStart(3)}. `,
      ),
    ),
  ];
}

/** Where a step stands in the pack: ` procedures/fit-pump.yaml:61`. */
function at(positions: Positions, { pointer }: Trace): string {
  const span = positions.nearest(pointer);
  return span === undefined ? '' : `  ${span.file}:${span.line}`;
}

function whatFails(plan: Plan, refutation: Refutation): string {
  switch (refutation.property) {
    case 'law':
      return `"${titleOf(plan, refutation.node)}" (${refutation.node}) can come when it must not be done: ${refutation.guard.because.says}`;
    case 'goes-on':
      return `The job can stand still at "${titleOf(plan, refutation.node)}" (${refutation.node}): nothing carries it on.`;
    case 'ends':
      return `The job can end in a wrong state: ${refutation.guard.because.says}`;
  }
}

/** One step of a way, as a technician would tell it. */
function whatHappens(plan: Plan, { node, signal, isLast }: Trace): string {
  const last = isLast === true ? ', for the last time that it may' : '';
  return `${titleOf(plan, node)} [${node}]: ${saysSignal(plan, signal)}${last}`;
}

function titleOf(plan: Plan, path: string): string {
  const node = plan.nodes[findNode(plan, path) ?? -1];
  return node === undefined ? path : describeStep(plan, node).title.replace(/\.$/, '');
}

function saysSignal(plan: Plan, signal: Signal): string {
  switch (signal.signal) {
    case 'recorded':
      return 'entered';
    case 'observed': {
      const entry = plan.entries[signal.entry];
      const answer = entry?.entry === 'observation' ? entry.answers[signal.answer] : undefined;
      return answer === undefined ? 'answered' : `"${answer.text}"`;
    }
    case 'identified':
      return {
        found: 'number written down',
        own: 'its own part',
        other: "another bore's part",
        renewed: 'a new part',
      }[signal.part];
    case 'judged':
      return {
        conforming: 'conforming',
        nonconforming: 'nonconforming',
        inconclusive: 'inconclusive',
        high: 'too high',
        low: 'too low',
      }[signal.outcome];
    case 'branched':
      return `decided ${signal.truth.map((truth) => (truth ? 'yes' : 'no')).join(', ')}`;
    case 'released':
      return `hold released (way ${signal.release + 1})`;
    case 'omitted':
      return 'left out as not applicable';
    default:
      return signal.signal;
  }
}

/** The proofs as plain data, with each way in words. */
export function describeProofs({ pack, proofs, positions }: CheckReport): readonly unknown[] {
  return proofs.map(({ procedure, variant, steps, exploration }) => {
    const { refutations, states, unreached, reachesEnd, cutShort } = exploration;
    const plan =
      pack === undefined || refutations.length === 0 ? undefined : resolve(pack, { procedure, variant }).plan;
    return {
      procedure,
      variant,
      steps,
      states,
      reachesEnd,
      cutShort,
      unreached,
      refutations: refutations.map((one) => ({
        property: one.property,
        ...(one.property === 'ends' ? {} : { step: one.node, pointer: one.pointer }),
        ...(one.property === 'goes-on' ? {} : { says: one.guard.because.says, law: one.guard.pointer }),
        ...(plan === undefined ? {} : { means: whatFails(plan, one) }),
        way: one.trace.map((step) => ({
          step: step.node,
          at: positions.nearest(step.pointer),
          ...(plan === undefined ? {} : { means: whatHappens(plan, step) }),
        })),
      })),
    };
  });
}
