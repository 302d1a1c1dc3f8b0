/** Whose values these are, how the pack was released, and whom Ferrule defers to: on every screen that shows a job. */
export function Deferring({
  notice,
  deferral,
  pack,
}: {
  readonly notice?: string | undefined;
  readonly deferral: string;
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
