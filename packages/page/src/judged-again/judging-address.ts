import { addressOf } from '../address.ts';
import type { OverlayNamed } from '../link/documents.ts';

/** Where jobs are judged by a revision, with an overlay where there is one, once somebody says so there. */
export function judgingAddress(pack: string, revision: string, laid: OverlayNamed | undefined): string {
  const asked = new URLSearchParams({
    ...{ pack, revision },
    ...(laid === undefined ? {} : { overlay: laid.overlay, overlayRevision: laid.revision }),
  });
  return `${addressOf('judged')}?${asked}`;
}
