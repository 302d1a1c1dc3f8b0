import { changeWeights, type Weight } from './change.ts';
import type {
  ComparedAccount,
  ComparedBump,
  ComparedChange,
} from './document/generated/comparison-document.ts';

const touches: Readonly<Record<Weight, string>> = {
  safety: 'safety',
  conformity: 'conformity',
  work: 'the work',
  wording: 'the wording alone',
};

const count = (many: number, one: string, more: string): string =>
  many === 0 ? `No ${one}` : many === 1 ? `One ${one}` : `${many} ${more}`;

/** What there is to know first of two revisions, in plain sentences. */
export function summaryOf(
  changes: readonly ComparedChange[],
  bump: ComparedBump,
  { changelog, findings }: ComparedAccount,
  areSame: boolean,
): readonly string[] {
  if (areSame) return ['The two are the same: their digests are equal.', bump.says];
  const trials = changes.filter(({ kind }) => kind === 'trial');
  const others = changes.filter(({ kind }) => kind !== 'trial');
  const weaker = others.filter(({ effect }) => effect === 'weaker').length;
  const untold = others.filter(({ effect, needs }) => effect === undefined && needs === 'major').length;
  const weights = changeWeights.flatMap((weight) => {
    const many = others.filter((one) => one.weight === weight).length;
    return many === 0 ? [] : [`${many} ${many === 1 ? 'touches' : 'touch'} ${touches[weight]}`];
  });
  return [
    `${count(others.length, 'change', 'changes')}${weights.length === 0 ? '' : `: ${weights.join(', ')}`}.${
      trials.length === 0
        ? ''
        : ` ${count(trials.length, 'trial is new, gone or another', 'trials are new, gone or others')}.`
    }`,
    weaker === 0
      ? 'No change is known to protect less.'
      : `${count(weaker, 'change protects', 'changes protect')} less. They stand first.`,
    ...(untold === 0
      ? []
      : [
          `Of ${untold === 1 ? 'one change' : `${untold} changes`} it cannot be told whether less is protected: a person has to look.`,
        ]),
    bump.says,
    changelog === 'not-looked-at'
      ? 'The changelog was not looked at: the command reads it beside a folder alone, and that of a pack says nothing of overlays.'
      : changelog === 'missing'
        ? findings.length === 0
          ? 'There is no changelog, and nothing that had to be told in one.'
          : 'There is no changelog, and there are changes that have to be told in one.'
        : findings.length === 0
          ? 'The changelog tells every change that asks for a minor or a major revision.'
          : `${count(findings.length, 'change is', 'changes are')} not told in the changelog as it has to be.`,
    'What is not named here means the same in both.',
  ];
}
