import type { OverlayNamed, ShelvedOverlay } from '../link/documents.ts';

/** The overlays that are for a pack, whichever revision of it they name. */
export const overlaysOf = (all: readonly ShelvedOverlay[], pack: string): readonly ShelvedOverlay[] =>
  all.filter(({ over }) => over?.pack === pack);

/** Which overlay is laid over a revision of a pack: none, or one of those that are for the pack. */
export function OverlayChosen({
  label,
  overlays,
  revision,
  chosen,
  onChosen,
}: {
  readonly label: string;
  readonly overlays: readonly ShelvedOverlay[];
  /** That of the pack: an overlay for another one says so. */
  readonly revision: string;
  readonly chosen: OverlayNamed | undefined;
  readonly onChosen: (overlay: OverlayNamed | undefined) => void;
}) {
  const keyOf = (one: OverlayNamed): string => `${one.overlay} ${one.revision}`;
  const key = chosen === undefined ? '' : keyOf(chosen);
  return (
    <label>
      {label}
      <select
        value={key}
        onChange={({ currentTarget }) => onChosen(overlays.find((one) => keyOf(one) === currentTarget.value))}
      >
        <option value="">None, the pack alone</option>
        {overlays.map((one) => (
          <option key={keyOf(one)} value={keyOf(one)}>
            {`${keyOf(one)}${one.over === undefined || one.over.revision === revision ? '' : `, for ${one.over.revision}`}`}
          </option>
        ))}
        {key === '' || overlays.some((one) => keyOf(one) === key) ? null : <option value={key}>{key}</option>}
      </select>
    </label>
  );
}
