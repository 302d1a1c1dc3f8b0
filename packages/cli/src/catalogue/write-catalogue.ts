import { deferral } from '../terminal/deferral.ts';
import type { CataloguedJob, CataloguedPack, Unreadable } from './describe-pack.ts';
import type { CataloguedLibrary, CataloguedOverlay } from './describe-shared.ts';

/** Everything that stands in the folders of a catalogue. */
export interface Catalogue {
  readonly packs: readonly CataloguedPack[];
  readonly libraries: readonly CataloguedLibrary[];
  readonly overlays: readonly CataloguedOverlay[];
  readonly unreadable: readonly Unreadable[];
}

/** A catalogue as a page of Markdown. */
export function writeCatalogue({ packs, libraries, overlays, unreadable }: Catalogue): string {
  const shown = [...packs].sort(byTitle);
  return [
    '<!-- Written by `ferrule catalogue`. Do not edit. -->',
    '# Catalogue of packs',
    deferral,
    'What stands in these folders, each job as it is called. Nothing here was proved: `ferrule check` does that, and `ferrule trial` runs the trials.',
    ...new Set(packs.flatMap((one) => (one.notice === undefined ? [] : `**Notice.** ${plain(one.notice)}`))),
    ...(shown.length === 0 ? ['There is no pack.'] : [contents(shown), ...shown.flatMap(packSection)]),
    ...(libraries.length === 0 ? [] : ['## Libraries', table(libraryHead, libraries.map(libraryRow))]),
    ...(overlays.length === 0 ? [] : ['## Overlays', table(overlayHead, overlays.map(overlayRow))]),
    ...(unreadable.length === 0 ? [] : ['## Not readable', unreadable.map(complaint).join('\n')]),
  ].join('\n\n');
}

const byTitle = (a: CataloguedPack, b: CataloguedPack): number =>
  a.pack < b.pack ? -1 : a.pack > b.pack ? 1 : a.revision < b.revision ? -1 : 1;

function contents(packs: readonly CataloguedPack[]): string {
  const rows = packs.flatMap((one) =>
    one.jobs.map((job) => [
      plain(job.title),
      `${code(one.pack)} ${one.revision}`,
      code(job.procedure),
      job.variants.map(code).join(', '),
    ]),
  );
  return table(['job', 'pack', 'procedure', 'for'], rows);
}

function packSection(one: CataloguedPack): readonly string[] {
  const about = [
    `${code(one.pack)} ${one.revision}, in ${code(one.folder)}.`,
    `Release: ${plain(one.release)}.`,
    ...(one.source === undefined ? [] : [`Source: ${plain(one.source)}.`]),
    ...(one.libraries.length === 0 ? [] : [`Takes from ${one.libraries.join(' and ')}.`]),
    `${one.trials} ${one.trials === 1 ? 'trial' : 'trials'}.`,
  ];
  return [`## ${plain(one.title)}, ${one.revision}`, about.join(' '), ...one.jobs.map(jobItem)];
}

function jobItem(job: CataloguedJob): string {
  const rows: readonly (readonly [string, string])[] = [
    [
      'call',
      `${code(`--procedure ${job.procedure}`)} with ${job.variants.map((one) => code(`--variant ${one}`)).join(', ')}`,
    ],
    [
      'size',
      `${many(job.steps, 'step')} with every remedy written out, ${many(job.readings, 'reading')}, ${many(job.tolerances, 'tolerance')}, ${many(job.holds, 'hold')}`,
    ],
    ['persons', list(job.persons)],
    ['measured with', list(job.instruments)],
    ['strongest caution', job.signal ?? 'none'],
    ...(job.takesOver.length === 0 ? [] : [['can take over', list(job.takesOver.map(code))] as const]),
    ...(job.leadsTo.length === 0 ? [] : [['can lead to', list(job.leadsTo.map(code))] as const]),
    ['due next', job.dueNext.length === 0 ? 'nothing' : job.dueNext.map(plain).join('<br>')],
  ];
  return `### ${plain(job.title)}\n\n${table(['', ''], rows)}`;
}

/** How many there are, over all variants. */
const many = ([least, most]: readonly [number, number], what: string): string =>
  `${least === most ? least : `${least} to ${most}`} ${what}${most === 1 ? '' : 's'}`;

const libraryHead = ['library', 'revision', 'what it is', 'holds', 'used by'];
const libraryRow = (one: CataloguedLibrary): readonly string[] => [
  code(one.library),
  one.revision,
  plain(one.title),
  Object.entries(one.holds)
    .map(([kind, count]) => `${count} ${kind}`)
    .join(', '),
  list(one.usedBy),
];

const overlayHead = ['overlay', 'revision', 'what it is', 'over'];
const overlayRow = (one: CataloguedOverlay): readonly string[] => [
  code(one.overlay),
  one.revision,
  plain(one.title),
  one.over,
];

const complaint = ({ folder, faults }: Unreadable): string =>
  `- ${code(folder)}: ${faults} ${faults === 1 ? 'fault' : 'faults'}. ${code(`ferrule check ${folder}`)} says more.`;

const list = (all: readonly string[]): string => (all.length === 0 ? 'none' : all.join('; '));

/** Texts of packs are shown as they are: nothing in them is a sign of Markdown. */
const plain = (text: string): string =>
  text
    .replace(/[\\`*_[\]<>|#]/g, (sign) => `\\${sign}`)
    .replace(/\s+/g, ' ')
    .trim();

const code = (text: string): string => `\`${text.replace(/[`|\s]+/g, ' ')}\``;

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}
