import { addressOf } from '../address.ts';
import type { PacksDocument, ShelvedPack } from '../link/documents.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';

/** Everything on the shelf: packs, their procedures, the engines that each is for, and a sheet to print for each. */
export function ProceduresScreen() {
  const { came, again } = useDocument<PacksDocument>('/packs');
  return (
    <Masthead title="Procedures and sheets" back="#/">
      <main class="page" aria-busy={came === undefined}>
        {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
        {came?.came === 'away' ? <AwayShown onAgain={again} /> : null}
        {came?.came === 'document'
          ? came.document.packs.map((one) => <PackListed key={`${one.pack} ${one.revision}`} pack={one} />)
          : null}
      </main>
      {came?.came === 'document' ? (
        <Deferring
          deferral={came.document.deferral}
          notice={came.document.packs.find(({ notice }) => notice !== undefined)?.notice}
        />
      ) : (
        <Deferring />
      )}
    </Masthead>
  );
}

function PackListed({
  pack: { pack, revision, title, release, jobs, diagnostics },
}: {
  readonly pack: ShelvedPack;
}) {
  return (
    <section class="pack">
      <h2>{title ?? pack}</h2>
      <p class="empty">
        {pack} {revision}, {release.words}
      </p>
      {diagnostics.errors === 0 ? null : (
        <p class="refusals">
          This pack has {diagnostics.errors === 1 ? 'a fault' : `${diagnostics.errors} faults`}.{' '}
          <a href={addressOf('pack', pack, revision)}>What was found</a> stands there with its file and line.
        </p>
      )}
      {jobs.map(({ procedure, title: does, variants }) => (
        <article key={procedure} class="procedure">
          <h3>{does}</h3>
          <a class="second" href={addressOf('begin', pack, revision, procedure)}>
            Begin this job
          </a>
          <p>Sheet to print and fill in by hand, for</p>
          <ul class="paper-list">
            {variants.map((one) => (
              <li key={one.variant}>
                <PaperLink to={paperOf.sheet(pack, revision, procedure, one.variant)}>{one.title}</PaperLink>
              </li>
            ))}
          </ul>
        </article>
      ))}
    </section>
  );
}
