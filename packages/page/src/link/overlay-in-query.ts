import type { OverlayNamed } from './documents.ts';

/** An overlay as the query of an address, of the page and of the server alike; '' where there is none. */
export const overlayInQuery = (overlay: string | undefined, revision: string | undefined): string =>
  overlay === undefined || revision === undefined
    ? ''
    : `?overlay=${encodeURIComponent(overlay)}&overlayRevision=${encodeURIComponent(revision)}`;

/** The overlay that a query names; `as` is the member that does. */
export function overlayIn(
  asked: string,
  as: 'overlay' | 'overlayBefore' = 'overlay',
): OverlayNamed | undefined {
  const said = new URLSearchParams(asked);
  const [overlay, revision] = [said.get(as), said.get(`${as}Revision`)];
  return overlay === null || revision === null ? undefined : { overlay, revision };
}
