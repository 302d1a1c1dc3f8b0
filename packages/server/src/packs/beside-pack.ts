import type { Span } from '@ferrule/engine';
import type { Positions } from '@ferrule/source';

/** An overlay by its name on the shelf. */
export interface OverlayNamed {
  readonly overlay: string;
  readonly revision: string;
}

/**
 * A file as if the overlay that it is of stood beside the pack. It may stand on another shelf, and where that is on this
 * machine is nobody's business.
 */
export function besidePack(file: string, laid: OverlayNamed | undefined): string {
  const own = laid === undefined ? '' : `${laid.overlay}/${laid.revision}/`;
  const at = file.startsWith('../') && own !== '' ? file.indexOf(`/${own}`) : -1;
  return at < 0 ? file : `../..${file.slice(at)}`;
}

/** Places with every file of the overlay named as if it stood beside the pack. */
export function positionsBesidePack(positions: Positions, laid: OverlayNamed | undefined): Positions {
  const named = (span: Span | undefined): Span | undefined =>
    span && { ...span, file: besidePack(span.file, laid) };
  return {
    key: (pointer) => named(positions.key(pointer)),
    value: (pointer) => named(positions.value(pointer)),
    nearest: (pointer) => named(positions.nearest(pointer)),
  };
}
