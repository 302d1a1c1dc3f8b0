import { type CheckReport, type Counterexample, faultsOf, type Proof } from '@ferrule/check';
import { describeStep, type Pack, type Plan, resolve } from '@ferrule/engine';

import type { Refutation } from '@ferrule/engine/proof';
import { tellWay, whatFails } from '@ferrule/print';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';
import { writeRefutation } from './write-refutation.ts';

/**
 * The proofs of a checked pack as lines: what was explored for each variant, then what was refuted, each fault once with
 * the way that shows it.
 */
export function writeProofs({ pack, proofs, positions }: CheckReport): readonly string[] {
  const lines = proofs.flatMap((proof) => writeProof(proof));
  if (lines.length > 0) lines.push('');
  const faults = pack === undefined ? [] : faultsOf(pack, proofs).map((one) => ({ ...one, pack, positions }));
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
