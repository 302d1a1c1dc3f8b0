import { type CheckReport, type Counterexample, type Proof, sameFault } from '@ferrule/check';
import { describeStep, findNode, type Pack, type Plan, resolve } from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';
import { tellWay } from './told-way.ts';
import { whatFails } from './what-fails.ts';
import { type Refuted, writeRefutation } from './write-refutation.ts';

/**
 * The proofs of a checked pack as lines: what was explored for each variant, then what was refuted, each fault once with
 * the way that shows it.
 */
export function writeProofs({ pack, proofs, positions }: CheckReport): readonly string[] {
  const lines = proofs.flatMap((proof) => writeProof(proof));
  if (lines.length > 0) lines.push('');
  const faults = faultsOf(pack, proofs, positions);
  if (faults.length === 0) return lines;
  const heading = faults.length === 1 ? 'WHAT CAN GO WRONG' : `WHAT CAN GO WRONG, ${faults.length} faults`;
  return [...lines, heading, '', ...faults.flatMap((fault, index) => writeRefutation(fault, index + 1))];
}

function writeProof({ exploration, procedure, variant, steps }: Proof): readonly string[] {
  const { refutations, unreached, cutShort, reachesEnd } = exploration;
  const verdict = cutShort
    ? 'cut short'
    : refutations.length > 0
      ? `refuted ${refutations.length} times`.replace(/^refuted 1 times$/, 'refuted once')
      : reachesEnd
        ? 'nothing refuted'
        : 'no end reached';
  const lines = [
    wrap(
      `${procedure} for ${variant}: ${verdict}; ${exploration.states} states of ${steps} steps explored`,
      'proof  ',
    ),
  ];
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

/** Every fault once: where it shows up in several variants, the shortest way among them, by a job that really goes it if any does. */
function faultsOf(
  pack: Pack | undefined,
  proofs: readonly Proof[],
  positions: Positions,
): readonly Refuted[] {
  if (pack === undefined) return [];
  const plans = new Map<Proof, Plan | undefined>();
  const planOf = (proof: Proof): Plan | undefined => {
    if (!plans.has(proof)) plans.set(proof, resolve(pack, proof).plan);
    return plans.get(proof);
  };
  const groups = new Map<string, { best: Shown; readonly all: Shown[] }>();
  for (const proof of proofs) {
    proof.exploration.refutations.forEach((refutation, index) => {
      const counterexample = proof.counterexamples[index];
      if (counterexample === undefined) return;
      const key = `${proof.procedure} ${sameFault(refutation)}`;
      const shown = { proof, refutation, counterexample };
      const known = groups.get(key) ?? { best: shown, all: [] };
      known.all.push(shown);
      if (isBetter(shown, known.best)) known.best = shown;
      groups.set(key, known);
    });
  }
  return [...groups.values()].flatMap(({ best, all }): readonly Refuted[] => {
    const plan = planOf(best.proof);
    const { refutation, counterexample } = best;
    const variants = [...new Set(all.map((one) => one.proof.variant))];
    const found = all.map((one) => boreOf(planOf(one.proof), one.refutation));
    const bores = [...new Set(found)].filter((one) => one !== undefined);
    return plan === undefined ? [] : [{ plan, pack, refutation, counterexample, variants, bores, positions }];
  });
}

function boreOf(plan: Plan | undefined, refutation: Refutation): number | undefined {
  if (plan === undefined) return undefined;
  if (refutation.property === 'ends') {
    const bore = /(?:@|\bbore )(\d+)/.exec(refutation.guard.because.says)?.[1];
    return bore === undefined ? undefined : Number(bore);
  }
  return plan.nodes[findNode(plan, refutation.node) ?? -1]?.bore;
}

interface Shown {
  readonly proof: Proof;
  readonly refutation: Refutation;
  readonly counterexample: Counterexample;
}

function isBetter(one: Shown, other: Shown): boolean {
  const [a, b] = [isReplayed(one), isReplayed(other)];
  if (a !== b) return a;
  return one.counterexample.signals.length < other.counterexample.signals.length;
}

const isReplayed = ({ counterexample: { replayed } }: Shown): boolean =>
  replayed !== undefined && replayed.failed === undefined;

/** The proofs as plain data, with every step of each way in words. */
export function describeProofs({ pack, proofs, positions }: CheckReport): readonly unknown[] {
  return proofs.map((proof) => {
    const { procedure, variant, steps, exploration, counterexamples } = proof;
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
      refutations: refutations.map((one, index) => ({
        property: one.property,
        ...(one.property === 'ends' ? {} : { step: one.node, pointer: one.pointer }),
        ...('guard' in one ? { says: one.guard.because.says, law: one.guard.pointer } : {}),
        ...(plan === undefined || pack === undefined
          ? {}
          : describeWay(plan, pack, one, counterexamples[index], positions)),
      })),
    };
  });
}

function describeWay(
  plan: Plan,
  pack: Pack,
  refutation: Refutation,
  counterexample: Counterexample | undefined,
  positions: Positions,
) {
  if (counterexample === undefined) return {};
  const { replayed, signals, isSpelt } = counterexample;
  const { visits, last } = tellWay(plan, pack, counterexample);
  return {
    means: whatFails(plan, pack, refutation, last),
    way: visits.map(({ node, title, happens, changes }) => ({
      step: node?.path ?? '',
      title: node === undefined ? title : describeStep(plan, node).title,
      at: node === undefined ? undefined : positions.nearest(node.pointer),
      happens,
      changes,
    })),
    signals,
    replay:
      replayed === undefined
        ? {
            replayed: false,
            why: isSpelt
              ? 'A job has gone another way to the same fault, or several could not.'
              : 'The rounds of a rework on this way could not be written out.',
          }
        : replayed.failed === undefined
          ? { replayed: true, facts: replayed.facts }
          : { replayed: false, ...replayed.failed },
    ...(isSpelt ? {} : { isSpelt }),
  };
}
