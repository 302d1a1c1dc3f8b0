import { addressOf } from '../address.ts';
import type { OverlayNamed } from '../link/documents.ts';
import { overlayInQuery } from '../link/overlay-in-query.ts';

/** The address of a part of what is known of a pack, with the overlay that is laid over it. */
export const packAddress = (
  {
    pack,
    revision,
    overlay,
  }: {
    readonly pack: string;
    readonly revision: string;
    readonly overlay?: OverlayNamed | undefined;
  },
  ...part: readonly string[]
): string => addressOf('pack', pack, revision, ...part) + overlayInQuery(overlay?.overlay, overlay?.revision);
