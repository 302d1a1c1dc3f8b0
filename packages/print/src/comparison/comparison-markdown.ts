import type { ComparedChange, ComparedSide, ComparisonDocument } from '@ferrule/compare/document';
import { behaviourGroups } from './behaviour-groups.ts';
import { changeGroups, changeMark, changePlace } from './groups.ts';

/** A comparison as Markdown (CommonMark with tables): for a review, or beside a changelog. Every text is text, never markup. */
export function comparisonMarkdown(document: ComparisonDocument): string {
  const { pack, before, after, says, account, deferral } = document;
  return `${[
    `# ${text(pack.title)}: ${before.revision} to ${after.revision}`,
    text(deferral),
    ...notices(document).map((one) => `**NOTICE:** ${text(one)}`),
    [
      '| | before | after |',
      '|---|---|---|',
      row('revision', `${pack.id} ${before.revision}`, `${pack.id} ${after.revision}`),
      row('read from', before.name, after.name),
      row('digest', before.digest, after.digest),
      row('release', before.release, after.release),
      row('overlay', pinned(before), pinned(after)),
      row('libraries', libraries(before), libraries(after)),
    ]
      .filter((line) => line !== undefined)
      .join('\n'),
    says.map((one) => `- ${text(one)}`).join('\n'),
    ...(account.findings.length === 0
      ? []
      : ['## Not owned up to', account.findings.map(({ says: one }) => `- ${text(one)}`).join('\n')]),
    ...changeGroups(document).flatMap(({ title, changes }) => [
      `## ${title}`,
      changes.map((one) => item(one, document)).join('\n'),
    ]),
    ...behaviourGroups(document).flatMap(({ title, items }) => [
      `## ${title}`,
      items
        .flatMap(({ says: what, lines }) => [
          `- ${text(what)}`,
          ...lines.flatMap(({ number, says: one, happens }) => [
            `  - ${number === '' ? '' : `${number}: `}${text(one)}`,
            ...happens.map((other) => `    - ${text(other)}`),
          ]),
        ])
        .join('\n'),
    ]),
  ].join('\n\n')}\n`;
}

/** The notices of both revisions, once where they are alike. */
export const notices = ({ before, after }: ComparisonDocument): readonly string[] => [
  ...new Set([before.notice, after.notice].flatMap((one) => one ?? [])),
];

const pinned = ({ overlay }: ComparedSide): string =>
  overlay === undefined ? '' : `${overlay.id} ${overlay.revision}`;
const libraries = (side: ComparedSide): string =>
  side.libraries.map(({ id, revision }) => `${id} ${revision}`).join(', ');

function row(name: string, before: string, after: string): string | undefined {
  return before === '' && after === '' ? undefined : `| ${name} | ${cell(before)} | ${cell(after)} |`;
}

function item(change: ComparedChange, { before, after }: ComparisonDocument): string {
  const side = (name: string, where: string, stated: ComparedChange['before']): readonly string[] => {
    const place = changePlace(where, stated);
    if (stated === undefined || place === undefined) return [];
    const other = stated.other === undefined ? '' : ` (${text(stated.other)})`;
    return [`  - ${name}: ${text(stated.says)}${other}, ${text(place)}`];
  };
  return [
    `- ${text(change.says)} *${text(changeMark(change))}*`,
    ...side('before', before.name, change.before),
    ...side('after', after.name, change.after),
  ].join('\n');
}

/** A text with what Markdown would take for markup escaped, on one line. */
const text = (plain: string): string =>
  plain
    .replace(/\s+/g, ' ')
    .trim()
    .replace(/[\\`*_{}[\]<>#|~&]/g, '\\$&');

const cell = (plain: string): string => (plain === '' ? ' ' : text(plain));
