import type { Plan } from '@ferrule/engine';
import { shorten } from '@ferrule/print';
import { deferral, firstSentence } from '../terminal/deferral.ts';
import { printable } from '../terminal/output.ts';
import { width, wrap } from '../terminal/wrap.ts';

/** What a job begins with: what it is, how its pack was released, the notice of that, and whom Ferrule defers to. */
export function headingOf(plan: Plan, release: string): string {
  const { pack, procedure, variant } = plan;
  return printable(
    [
      wrap(`${procedure.title}: ${variant.title}`),
      wrap(`${pack.title}, ${pack.id} ${pack.revision}`),
      ...overlayOf(plan),
      wrap(release, 'Release  ', '         '),
      ...noticeOf(plan),
    ].join('\n'),
  );
}

/** The overlay of a job in a few words, behind its pack; nothing where there was none. */
export const withOverlay = (
  overlay: { readonly id: string; readonly revision: string } | undefined,
): string => (overlay === undefined ? '' : ` with overlay ${overlay.id} ${overlay.revision}`);

/** The overlay of the shop that was laid over the pack, with both digests; none where there was none. */
export const overlayOf = ({ pack: { id, revision, overlay } }: Plan): readonly string[] =>
  overlay === undefined
    ? []
    : [
        wrap(`${overlay.title}, ${overlay.id} ${overlay.revision}`, 'Overlay  '),
        `         ${overlay.digest}`,
        wrap(`over ${id} ${revision} as it was released`, '         '),
        `         ${overlay.over}`,
      ];

/** The whole notice of the pack, and whom Ferrule defers to. */
export const noticeOf = ({ pack }: Plan): readonly string[] => [
  ...(pack.notice === undefined ? [] : [wrap(pack.notice, 'NOTICE  ')]),
  wrap(deferral),
];

/** The notice of the pack in one line, for every screen; none where it has none. */
export const shortNoticeOf = ({ pack }: Plan): readonly string[] =>
  pack.notice === undefined ? [] : [shorten(`NOTICE  ${firstSentence(pack.notice)}`, width())];
