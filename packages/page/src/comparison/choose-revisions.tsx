import { useState } from 'preact/hooks';
import { addressOf, goTo } from '../address.ts';
import type { PacksDocument, ShelvedPack } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { revisionOrder } from './revision-order.ts';

/** A pack with its revisions on the shelf, the older ones first. */
interface Line {
  readonly pack: string;
  readonly title: string;
  readonly revisions: readonly string[];
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
        <Arrived {...asked}>{({ packs }) => <Lines lines={linesOf(packs)} />}</Arrived>
      </main>
      {asked.came?.came === 'document' ? (
        <Deferring
          deferral={asked.came.document.deferral}
          notice={asked.came.document.packs.find(({ notice }) => notice !== undefined)?.notice}
        />
      ) : null}
    </>
  );
}

function linesOf(packs: readonly ShelvedPack[]): readonly Line[] {
  const lines = new Map<string, { readonly pack: string; title: string; readonly revisions: string[] }>();
  for (const one of [...packs].sort((a, b) => revisionOrder(a.revision, b.revision))) {
    const line = lines.get(one.pack) ?? { pack: one.pack, title: one.pack, revisions: [] };
    line.title = one.title ?? line.title;
    line.revisions.push(one.revision);
    lines.set(one.pack, line);
  }
  return [...lines.values()];
}

function Lines({ lines }: { readonly lines: readonly Line[] }) {
  const some = lines.filter(({ revisions }) => revisions.length > 1);
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
        {some.length === 0 ? 'No pack on the shelf has two revisions. ' : ''}
        {alone === 0
          ? ''
          : `${alone} ${alone === 1 ? 'pack stands' : 'packs stand'} on the shelf in one revision alone, and there is nothing to compare.`}
      </p>
    </>
  );
}

function LineOfRevisions({ line: { pack, title, revisions } }: { readonly line: Line }) {
  const [before, setBefore] = useState(revisions.at(-2) ?? '');
  const [after, setAfter] = useState(revisions.at(-1) ?? '');
  return (
    <form
      class="line"
      aria-label={title}
      onSubmit={(event) => {
        event.preventDefault();
        goTo(addressOf('compare', pack, before, after));
      }}
    >
      <h3>{title}</h3>
      <Revision label="Older" among={revisions} chosen={before} onChosen={setBefore} />
      <Revision label="Newer" among={revisions} chosen={after} onChosen={setAfter} />
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
