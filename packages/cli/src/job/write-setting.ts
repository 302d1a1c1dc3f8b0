import { type Setting, type Stage, writeQuantity } from '@ferrule/engine';

/** What a wrench is set to, for a person: `Set the wrench to 37.5 N·m for 43 N·m at the screw (adapter 45 mm on 300 mm)`. */
export function writeSetting({ torque, set, gives, running, adapter, specifiedFrom }: Setting): string {
  const why = [
    ...(adapter === undefined
      ? []
      : [
          `adapter ${adapter.length}${/^-?0(?:\.0+)?°$/.test(adapter.angle) ? '' : ` at ${adapter.angle}`} on ${adapter.wrench}`,
        ]),
    ...(running === undefined ? [] : [`running torque ${running} added`]),
  ];
  const because = why.length === 0 ? '' : ` (${why.join(', ')})`;
  const withIt = running === undefined ? '' : ', running torque included';
  const gains = isSame(gives, torque) ? '' : `; that gives ${gives} there${withIt}`;
  const low =
    specifiedFrom === undefined
      ? ''
      : `; below ${specifiedFrom}, a fifth of its largest torque, the wrench is not specified: take a smaller one where there is one`;
  return `Set the wrench to ${set} for ${torque} at the screw${because}${gains}${low}`;
}

/** The settings that are not what the procedure asks for anyway. */
export const worthSaying = (settings: readonly Setting[]): readonly Setting[] =>
  settings.filter(
    ({ torque, set, running, adapter, specifiedFrom }) =>
      specifiedFrom !== undefined || adapter !== undefined || running !== undefined || !isSame(torque, set),
  );

/** Whether two texts are the same value in the same unit: `43 N·m` and `43.0 N·m`. */
function isSame(one: string, other: string): boolean {
  const plain = (text: string): string => text.replace(/(\.\d*?)0+(?=\s|$)/, '$1').replace(/\.(?=\s|$)/, '');
  return plain(one) === plain(other);
}

/** A pattern as a table: a row for each stage, with the fasteners in their order. */
export const patternRows = (
  stages: readonly Stage[],
  pattern: readonly number[],
): readonly (readonly string[])[] => [
  ['stage', 'over the fasteners in this order'],
  ...stages.map((stage) => [writeStage(stage), pattern.join(' ')]),
];

function writeStage(stage: Stage): string {
  switch (stage.stage) {
    case 'torque':
      return writeQuantity(stage.torque);
    case 'angle':
      return `+ ${writeQuantity(stage.angle)}`;
    case 'slacken':
      return stage.angle === undefined ? 'slacken' : `slacken ${writeQuantity(stage.angle)}`;
  }
}
