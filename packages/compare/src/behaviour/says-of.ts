import type { ComparedBehaviour } from '../document/generated/comparison-document.ts';

/** What was found by running the newer revision, in plain sentences. */
export function saysOf(found: Omit<ComparedBehaviour, 'says'>): readonly string[] {
  const { trials, permits, forbids, plans, cutShort } = found;
  const many = (of: ComparedBehaviour['permits'][number]['found']): number =>
    permits.filter((one) => one.found === of).length;
  const shown = many('way');
  const none = many('none');
  return [
    trials.run === 0
      ? 'The older revision has no trial that was run under the newer one.'
      : trials.others.length === 0
        ? `Every one of the ${trials.run} trials of the older revision comes to the same under the newer one.`
        : `Of ${trials.run} trials of the older revision ${trials.pass} come to the same under the newer one, and ${trials.others.length} do not.`,
    shown === 0
      ? 'No way was shown to what the older revision did not allow.'
      : `${shown === 1 ? 'One change lets' : `${shown} changes let`} jobs come to what the older revision did not allow; each has a way to it.`,
    ...(none === 0
      ? []
      : [
          `${none === 1 ? 'One protection' : `${none} protections`} less make no difference to the ways that are written: that is proved.`,
        ]),
    ...(many('not-shown') === 0
      ? []
      : [`Of ${many('not-shown')} changes no way could be shown: a person has to look.`]),
    ...(forbids === 0
      ? []
      : [
          `${forbids === 1 ? 'One protection' : `${forbids} protections`} that is new or stronger would stop the steps of the older revision.`,
        ]),
    plans.length === 0
      ? 'The crankshaft is turned by the same plan for every variant that both have.'
      : `The plan by which the crankshaft is turned is another for ${plans.map(({ variant }) => variant).join(', ')}.`,
    ...(cutShort
      ? ['The time was over before everything had been looked at: what is not said here may still be so.']
      : []),
  ];
}
