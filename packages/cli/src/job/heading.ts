import type { Plan } from '@ferrule/engine';
import { deferral, firstSentence } from '../terminal/deferral.ts';
import { printable } from '../terminal/output.ts';
import { shorten, width, wrap } from '../terminal/wrap.ts';

/** What a job begins with: what it is, the notice of its pack, and whom Ferrule defers to. */
export function headingOf(plan: Plan): string {
  const { pack, procedure, variant } = plan;
  return printable(
    [
      wrap(`${procedure.title}: ${variant.title}`),
      wrap(`${pack.title}, ${pack.id} ${pack.revision}`),
      ...noticeOf(plan),
    ].join('\n'),
  );
}

/** The whole notice of the pack, and whom Ferrule defers to. */
export const noticeOf = ({ pack }: Plan): readonly string[] => [
  ...(pack.notice === undefined ? [] : [wrap(pack.notice, 'NOTICE  ')]),
  wrap(deferral),
];

/** The notice of the pack in one line, for every screen; none where it has none. */
export const shortNoticeOf = ({ pack }: Plan): readonly string[] =>
  pack.notice === undefined ? [] : [shorten(`NOTICE  ${firstSentence(pack.notice)}`, width())];
