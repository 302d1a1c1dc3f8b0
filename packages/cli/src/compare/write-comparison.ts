import type { ComparedChange, ComparedSide, ComparisonDocument } from '@ferrule/compare';
import { type BehaviourLine, behaviourGroups, changeGroups, changeMark, changePlace } from '@ferrule/print';
import { firstSentence } from '../terminal/deferral.ts';
import { wrap } from '../terminal/wrap.ts';

/** A comparison for a terminal. */
export function writeComparison(document: ComparisonDocument): string {
  const { pack, before, after, says, account, deferral } = document;
  const notices = new Set([before.notice, after.notice].flatMap((one) => one ?? []));
  return [
    wrap(`${pack.title} (${pack.id}): ${before.revision} to ${after.revision}`),
    ...sideLines('before', before),
    ...sideLines('after', after),
    ...[...notices].map((one) => wrap(firstSentence(one), 'NOTICE  ')),
    '',
    ...says.map((one) => wrap(one, '- ')),
    ...(account.findings.length === 0
      ? []
      : ['', 'NOT OWNED UP TO', ...account.findings.map((one) => wrap(one.says, '- '))]),
    ...changeGroups(document).flatMap(({ title, changes }) => [
      '',
      title.toUpperCase(),
      ...changes.flatMap((one) => changeLines(one, document)),
    ]),
    ...behaviourGroups(document).flatMap(({ title, items }) => [
      '',
      title.toUpperCase(),
      ...items.flatMap(({ says: what, lines }) => [wrap(what, '- ', '  '), ...lines.flatMap(behaviourLines)]),
    ]),
    '',
    wrap(deferral),
  ].join('\n');
}

function behaviourLines({ number, says, happens }: BehaviourLine): readonly string[] {
  const margin = number === '' ? '    ' : `${`${number}.`.padStart(11)} `;
  const more = ' '.repeat(margin.length);
  return [wrap(says, margin, more), ...happens.map((one) => wrap(one, `${more}  `))];
}

function sideLines(
  label: string,
  { name, release, digest, overlay, libraries }: ComparedSide,
): readonly string[] {
  const first = label.padEnd(8);
  const pinned = [
    ...(overlay === undefined ? [] : [{ ...overlay, id: `overlay ${overlay.id}` }]),
    ...libraries,
  ];
  return [
    wrap(`${name}, ${release}`, first),
    `${' '.repeat(8)}${digest}`,
    ...(pinned.length === 0
      ? []
      : [wrap(`with ${pinned.map(({ id, revision }) => `${id} ${revision}`).join(', ')}`, ' '.repeat(8))]),
  ];
}

function changeLines(change: ComparedChange, { before, after }: ComparisonDocument): readonly string[] {
  const side = (label: string, where: string, stated: ComparedChange['before']): readonly string[] => {
    const place = changePlace(where, stated);
    if (stated === undefined || place === undefined) return [];
    // What was is said by the sentence; the other system of units is not.
    return stated.other === undefined
      ? [`    ${label}  ${place}`]
      : [wrap(`${stated.says} (${stated.other})`, `    ${label}  `), `            ${place}`];
  };
  return [
    wrap(change.says, '- ', '  '),
    `    ${changeMark(change)}`,
    ...side('before', before.name, change.before),
    ...side('after ', after.name, change.after),
  ];
}
