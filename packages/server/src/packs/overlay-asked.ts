import { type Problem, problem } from '../problem.ts';
import { optional, text } from '../schema.ts';
import type { OverlayNamed } from './beside-pack.ts';

/** The members of a query that name an overlay. */
export const overlayQuery = {
  overlay: optional(text({ maxLength: 100, description: 'The overlay that is laid over the pack' })),
  overlayRevision: optional(text({ maxLength: 100, description: 'Its revision; both or neither are given' })),
} as const;

/** Those that name the overlay of the older of two revisions. */
export const overlayBeforeQuery = {
  overlayBefore: optional(
    text({ maxLength: 100, description: 'The overlay that is laid over the older revision' }),
  ),
  overlayBeforeRevision: optional(
    text({ maxLength: 100, description: 'Its revision; both or neither are given' }),
  ),
} as const;

/** The overlay that is asked for; `as` is the member that names it. */
export function overlayAsked(
  overlay: string | undefined,
  revision: string | undefined,
  as: 'overlay' | 'overlayBefore' = 'overlay',
): OverlayNamed | undefined | Problem {
  if (overlay !== undefined && revision !== undefined) return { overlay, revision };
  if (overlay === undefined && revision === undefined) return undefined;
  return problem('invalid-request', 'An overlay has a name and a revision: one of them is missing.', {
    pointer: `/query/${overlay === undefined ? as : `${as}Revision`}`,
  });
}
