import type { ShelvedPack } from '../link/documents.ts';
import { askInAddress } from '../pieces/ask-in-address.ts';
import { AskedDays } from '../pieces/asked-days.tsx';
import { AskedField } from '../pieces/asked-field.tsx';

/** Of which pack, and of what. */
export function ReadingsForm({
  asked,
  packs,
}: {
  readonly asked: string;
  readonly packs: readonly ShelvedPack[];
}) {
  const said = new URLSearchParams(asked);
  const titles = new Map(packs.map(({ pack, title }) => [pack, title ?? pack]));
  const chosen = said.get('pack');
  // Jobs may be of a pack that stands on the shelf no more.
  if (chosen !== null && !titles.has(chosen)) titles.set(chosen, chosen);
  return (
    <form
      class="judging find"
      onSubmit={(event) => {
        event.preventDefault();
        askInAddress('readings', event.currentTarget);
      }}
    >
      <label>
        Pack
        <select name="pack" required={true}>
          {[...titles].map(([pack, title]) => (
            <option key={pack} value={pack} selected={pack === chosen}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <AskedField name="of" label="Limits or reading, by name" said={said} isNeeded={true} />
      <AskedField name="revision" label="Revision" said={said} />
      <AskedDays said={said} />
      <button type="submit" class="main find-whole">
        Show how they lie
      </button>
    </form>
  );
}
