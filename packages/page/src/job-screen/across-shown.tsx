import type { JobSession } from '../job/session.ts';
import { acrossBores } from './across-bores.ts';
import { BoresPicture } from './bores-picture.tsx';

/** Where there is room it is open; on a telephone the step comes first, as long as there is one. */
const isWide = matchMedia('(min-width: 60rem)');

/** What was measured and worked out bore by bore, beside one another: what one pump shows, and how it stands to the others. */
export function AcrossShown({ session }: { readonly session: JobSession }) {
  const { plan, pack, folded, offers } = session;
  const all = acrossBores(pack, plan, folded.value.job);
  if (all.length === 0) return null;
  return (
    <details class="across-all" open={isWide.matches || offers.value.standing === 'closed'}>
      <summary>
        <h2>Across the bores</h2>
      </summary>
      <p class="entry-hint">
        The field is what the limits leave, the bar through a mark says nonconforming, the whisker is its
        uncertainty.
      </p>
      <div class="across-figures">
        {all.map((across) => (
          <BoresPicture key={across.key} across={across} />
        ))}
      </div>
    </details>
  );
}
