import { deferral as ours } from '@ferrule/engine/deferral';

/** Whose values these are, how the pack was released, and whom Ferrule defers to: on every screen, also where there is nothing to show. */
export function Deferring({
  notice,
  deferral = ours,
  pack,
}: {
  readonly notice?: string | undefined;
  /** As the server says it; as this page does where nothing has come from there. */
  readonly deferral?: string;
  readonly pack?: string;
}) {
  return (
    <footer class="deferring">
      {notice === undefined ? null : <p class="notice-line">{notice}</p>}
      <p>{deferral}</p>
      {pack === undefined ? null : <p class="pinned">{pack}</p>}
    </footer>
  );
}
