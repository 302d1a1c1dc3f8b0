import { deferral } from '@ferrule/engine/deferral';
import type { PacksDocument } from '../link/documents.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { FindForm } from '../which-jobs/find-form.tsx';
import { FoundJobs } from '../which-jobs/found-jobs.tsx';
import '../style/audit.css';
import '../style/which-jobs.css';

/** Jobs by what was used, fitted, held or conceded in them. What is asked for stands in the address, and so outlives the page. */
export function FindScreen({ asked }: { readonly asked: string | undefined }) {
  const { came, again } = useDocument<PacksDocument>('/packs');
  const packs = came?.came === 'document' ? came.document.packs : [];
  return (
    <>
      <main class="page audit">
        <FindForm asked={asked ?? ''} />
        {/* Where something is asked for, that says the same. */}
        {asked === undefined && came?.came === 'problem' ? (
          <ProblemShown problem={came.problem} onAgain={again} />
        ) : null}
        {asked === undefined ? null : <FoundJobs asked={asked} />}
      </main>
      <Deferring deferral={deferral} notice={packs.find(({ notice }) => notice !== undefined)?.notice} />
    </>
  );
}
