import type { Plan } from '@ferrule/engine';

/** What a proof leaves open so that every outcome is tried, for the plans of one procedure. docs/proof.md says more of each. */
export function leftOpen(plans: readonly Plan[]): readonly string[] {
  const entries = plans.flatMap((plan) => plan.entries);
  const joint = new Set(
    plans.flatMap(({ tolerances, conditions }) =>
      [...tolerances, ...conditions].filter((one) => one.entries.length > 1).map((one) => one.pointer),
    ),
  );
  const hasReworks = plans.some(({ cells }) => cells.some(({ cell }) => cell === 'counter'));
  return [
    ...said(
      entries.some(({ entry }) => entry === 'observation'),
      'Each question has every one of its answers.',
    ),
    ...said(
      entries.some(({ entry }) => entry === 'reading'),
      'Each reading lies anywhere in its plausible range, which is cut where a limit or a condition compares it.',
    ),
    ...said(
      joint.size > 0,
      `${joint.size === 1 ? 'A limit or condition looks' : `${joint.size} limits and conditions look`} at several readings at once: each outcome is tried, whether or not there are numbers that lead to it.`,
    ),
    ...said(
      entries.some(({ entry }) => entry === 'identity'),
      'Each part in hand is its own, that of another place, or a new one.',
    ),
    ...said(
      plans.some(({ elapsed }) => elapsed.length > 0),
      'The time since a step, where it is judged, is of any length.',
    ),
    ...said(
      hasReworks,
      'Each try of a rework is one of several, and the last that is allowed; how many went before is not counted.',
    ),
    ...said(
      plans.some(({ holds }) => holds.length > 0),
      'Each hold is released in every way that it has.',
    ),
    'Each entry is struck, one at a time, wherever a strike of it is taken.',
  ];
}

/** What a proof does not look at, for the plans of one procedure. */
export function leftAside(plans: readonly Plan[]): readonly string[] {
  const nodes = plans.flatMap((plan) => plan.nodes);
  const acts = nodes.flatMap((node) => (node.node === 'step' ? (node.act?.act ?? []) : []));
  return [
    'Anything that the pack does not say: a state that is not declared is not watched, and a limit that is wrong is applied.',
    'Whether a person has done what they confirm.',
    'Waiting times, calibration dates, and who may witness whose work: the engine looks at these when they come up.',
    'Two strikes at once.',
    ...said(
      plans.some(({ entries }) => entries.some((one) => one.entry === 'reading' && one.carry !== undefined)),
      'How old a value is that was taken over from another job, and of which engine it is.',
    ),
    ...said(acts.includes('refer-to'), 'What the procedures of other packs do, to which a step leads.'),
  ];
}

const said = (isSo: boolean, text: string): readonly string[] => (isSo ? [text] : []);
