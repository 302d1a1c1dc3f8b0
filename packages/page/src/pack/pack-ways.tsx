import { addressOf } from '../address.ts';
import { comparisonAddress } from '../comparison/comparison-address.ts';
import { revisionOrder } from '../comparison/revision-order.ts';
import { judgingAddress } from '../judged-again/judging-address.ts';
import type { OverlayNamed, PacksDocument } from '../link/documents.ts';
import { useDocument } from '../pieces/use-document.ts';

/**
 * Where somebody goes on who has looked into a pack: to what it has otherwise than the revision before it, to the jobs that it
 * touches, and to the sheets. There is none from a pack of which the shelf says that it has faults.
 */
export function PackWays({
  pack,
  revision,
  overlay,
}: {
  readonly pack: string;
  readonly revision: string;
  readonly overlay: OverlayNamed | undefined;
}) {
  const { came } = useDocument<PacksDocument>('/packs');
  const packs = came?.came === 'document' ? came.document.packs : [];
  const whole = packs.filter((one) => one.pack === pack && one.diagnostics.errors === 0);
  if (!whole.some((one) => one.revision === revision)) return null;
  const before = whole
    .map((one) => one.revision)
    .filter((one) => revisionOrder(one, revision) < 0)
    .sort(revisionOrder)
    .at(-1);
  return (
    <nav class="pack-ways" aria-label="Where to go on">
      {before === undefined ? null : (
        <a class="second" href={comparisonAddress({ pack, before, after: revision, laid: overlay })}>
          Compare with {before}
        </a>
      )}
      <a class="second" href={judgingAddress(pack, revision, overlay)}>
        Judge jobs by {revision}
      </a>
      <a class="second" href={addressOf('procedures')}>
        Procedures and sheets
      </a>
    </nav>
  );
}
