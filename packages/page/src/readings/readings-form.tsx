import type { Pack } from '@ferrule/engine';
import { useEffect, useState } from 'preact/hooks';
import { revisionOrder } from '../comparison/revision-order.ts';
import { call } from '../link/call.ts';
import type { ShelvedPack } from '../link/documents.ts';
import { askInAddress } from '../pieces/ask-in-address.ts';
import { AskedDays } from '../pieces/asked-days.tsx';
import { AskedField } from '../pieces/asked-field.tsx';
import { namesInPack } from './names-in-pack.ts';
import { readingsAddress } from './readings-address.ts';

/** Of which pack, and of what. */
export function ReadingsForm({
  asked,
  packs,
  ofJobs,
}: {
  readonly asked: string | undefined;
  readonly packs: readonly ShelvedPack[];
  /** The packs that jobs of the store are of. */
  readonly ofJobs: ReadonlySet<string>;
}) {
  const said = new URLSearchParams(asked);
  const titles = new Map(packs.map(({ pack, title }) => [pack, title ?? pack]));
  const askedPack = said.get('pack');
  // Jobs may be of a pack that stands on the shelf no more.
  if (askedPack !== null && !titles.has(askedPack)) titles.set(askedPack, askedPack);
  const [picked, setPicked] = useState(askedPack);
  const chosen = picked ?? (packs.find(({ pack }) => ofJobs.has(pack)) ?? packs[0])?.pack;
  const names = useNames(
    packs
      .filter(({ pack, digest }) => pack === chosen && digest !== undefined)
      .sort((a, b) => revisionOrder(a.revision, b.revision))
      .at(-1)?.digest,
  );
  return (
    <>
      <form
        class="judging find"
        onSubmit={(event) => {
          event.preventDefault();
          askInAddress('readings', event.currentTarget);
        }}
      >
        <p class="lead-in find-whole">
          How what was measured in all jobs of a pack lies between its limits. Nothing is judged again.
        </p>
        <label>
          Pack
          <select
            name="pack"
            required={true}
            onChange={({ currentTarget }) => setPicked(currentTarget.value)}
          >
            {[...titles].map(([pack, title]) => (
              <option key={pack} value={pack} selected={pack === chosen}>
                {title}
              </option>
            ))}
          </select>
        </label>
        <AskedField
          name="of"
          label="Limits or reading, by name"
          said={said}
          isNeeded={true}
          list="names-in-pack"
        />
        <datalist id="names-in-pack">
          {[...names].map(([name, words]) => (
            <option key={name} value={name} label={words} />
          ))}
        </datalist>
        <AskedField name="revision" label="Revision" said={said} />
        <AskedDays said={said} />
        <button type="submit" class="main find-whole">
          Show how they lie
        </button>
      </form>
      {asked !== undefined || names.size === 0 || chosen === undefined ? null : (
        <section>
          <h2>What its jobs measure and judge</h2>
          <ul class="names names-told">
            {[...names].map(([name, words]) => (
              <li key={name}>
                <a href={readingsAddress(chosen, name)}>{name}</a> <span class="side-other">{words}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

/** What the jobs of the pack with this digest judge and measure; empty until that is known, and where it is not. */
function useNames(digest: string | undefined): ReadonlyMap<string, string> {
  const [names, setNames] = useState<ReadonlyMap<string, string>>(new Map());
  useEffect(() => {
    let isGone = false;
    setNames(new Map());
    if (digest === undefined) return;
    void call<{ readonly document: Pack }>(`/bundles/${digest}`).then((came) => {
      if (!isGone && came.came === 'document') setNames(namesInPack(came.document.document));
    });
    return () => {
      isGone = true;
    };
  }, [digest]);
  return names;
}
