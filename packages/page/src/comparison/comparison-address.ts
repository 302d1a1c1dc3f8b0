import { addressOf } from '../address.ts';
import type { OverlayNamed } from '../link/documents.ts';

/** Which two revisions of a pack are compared, and the overlays that are laid over them. */
interface Compared {
  readonly pack: string;
  readonly before: string;
  readonly after: string;
  readonly laidBefore?: OverlayNamed | undefined;
  readonly laid?: OverlayNamed | undefined;
  /** Words that the changes are to have. */
  readonly sought?: string;
}

/** The address of a comparison on the page. */
export function comparisonAddress({ pack, before, after, laidBefore, laid, sought }: Compared): string {
  const asked = overlaysInQuery(laidBefore, laid);
  const words = sought === undefined ? [] : [sought];
  return `${addressOf('compare', pack, before, after, ...words)}${asked === '' ? '' : `?${asked}`}`;
}

/** The overlays of both revisions as the members of a query, of the page and of the server alike. */
export function overlaysInQuery(
  laidBefore: OverlayNamed | undefined,
  laid: OverlayNamed | undefined,
): string {
  const asked = new URLSearchParams();
  for (const [as, one] of [
    ['overlayBefore', laidBefore],
    ['overlay', laid],
  ] as const) {
    if (one === undefined) continue;
    asked.set(as, one.overlay);
    asked.set(`${as}Revision`, one.revision);
  }
  return asked.toString();
}
