import { useState } from 'preact/hooks';
import { goTo } from '../address.ts';
import type { OverlayNamed, PacksDocument, ShelvedOverlay, ShelvedPack } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { OverlayChosen, overlaysOf } from '../pieces/overlay-chosen.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { comparisonAddress } from './comparison-address.ts';
import { revisionOrder } from './revision-order.ts';

/** A pack with its revisions on the shelf, the older ones first, and the overlays that are for it. */
interface Line {
  readonly pack: string;
  readonly title: string;
  readonly revisions: readonly string[];
  readonly overlays: readonly ShelvedOverlay[];
}

/** Choosing what is compared: the last step of each pack at a touch, and any two of its revisions. */
export function ChooseRevisions() {
  const asked = useDocument<PacksDocument>('/packs');
  return (
    <>
      <main class="page audit">
        <h2>Which two revisions?</h2>
        <p class="lead-in">
          What the newer one has otherwise is told for somebody who has seen neither, and what protects less
          stands on top.
        </p>
        <Arrived {...asked}>
          {({ packs, overlays = [] }) => <Lines lines={linesOf(packs, overlays)} />}
        </Arrived>
      </main>
      {asked.came?.came === 'document' ? (
        <Deferring
          deferral={asked.came.document.deferral}
          notice={asked.came.document.packs.find(({ notice }) => notice !== undefined)?.notice}
        />
      ) : (
        <Deferring />
      )}
    </>
  );
}

function linesOf(packs: readonly ShelvedPack[], overlays: readonly ShelvedOverlay[]): readonly Line[] {
  const names = [...new Set(packs.map(({ pack }) => pack))].sort();
  return names.map((pack) => {
    const all = packs
      .filter((one) => one.pack === pack)
      .sort((a, b) => revisionOrder(a.revision, b.revision));
    return {
      pack,
      title: all.findLast(({ title }) => title !== undefined)?.title ?? pack,
      revisions: all.map(({ revision }) => revision),
      overlays: overlaysOf(overlays, pack),
    };
  });
}

function Lines({ lines }: { readonly lines: readonly Line[] }) {
  const some = lines.filter(({ revisions, overlays }) => revisions.length > 1 || overlays.length > 0);
  const alone = lines.length - some.length;
  return (
    <>
      <ul class="lines">
        {some.map((line) => (
          <li key={line.pack}>
            <LineOfRevisions line={line} />
          </li>
        ))}
      </ul>
      <p class="empty">
        {some.length === 0 ? 'No pack on the shelf has two revisions, or an overlay. ' : ''}
        {alone === 0
          ? ''
          : `${alone} ${alone === 1 ? 'pack stands' : 'packs stand'} on the shelf in one revision alone, and there is nothing to compare.`}
      </p>
    </>
  );
}

function LineOfRevisions({ line: { pack, title, revisions, overlays } }: { readonly line: Line }) {
  const [before, setBefore] = useState(revisions.at(-2) ?? revisions[0] ?? '');
  const [after, setAfter] = useState(revisions.at(-1) ?? '');
  const [laidBefore, setLaidBefore] = useState<OverlayNamed>();
  const [laid, setLaid] = useState<OverlayNamed>();
  return (
    <form
      class="line"
      aria-label={title}
      onSubmit={(event) => {
        event.preventDefault();
        goTo(comparisonAddress({ pack, before, after, laidBefore, laid }));
      }}
    >
      <h3>{title}</h3>
      <Revision label="Older" among={revisions} chosen={before} onChosen={setBefore} />
      <Revision label="Newer" among={revisions} chosen={after} onChosen={setAfter} />
      {overlays.length === 0 ? null : (
        <>
          <div class="line-overlay">
            <OverlayChosen
              label="Overlay over the older one"
              overlays={overlays}
              revision={before}
              chosen={laidBefore}
              onChosen={setLaidBefore}
            />
          </div>
          <div class="line-overlay">
            <OverlayChosen
              label="Overlay over the newer one"
              overlays={overlays}
              revision={after}
              chosen={laid}
              onChosen={setLaid}
            />
          </div>
        </>
      )}
      <button type="submit" class="second">
        Compare
      </button>
    </form>
  );
}

function Revision({
  label,
  among,
  chosen,
  onChosen,
}: {
  readonly label: string;
  readonly among: readonly string[];
  readonly chosen: string;
  readonly onChosen: (revision: string) => void;
}) {
  return (
    <label>
      {label}
      <select value={chosen} onChange={({ currentTarget }) => onChosen(currentTarget.value)}>
        {among.map((one) => (
          <option key={one} value={one}>
            {one}
          </option>
        ))}
      </select>
    </label>
  );
}
