import { deferral } from '@ferrule/engine/deferral';
import type { PacksDocument } from '../link/documents.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { usePacksOfJobs } from '../pieces/use-packs-of-jobs.ts';
import { ReadingsAsked } from '../readings/readings-asked.tsx';
import { ReadingsForm } from '../readings/readings-form.tsx';
import '../style/audit.css';
import '../style/which-jobs.css';
import '../style/readings.css';

/** How what was measured lies against its limits, over all jobs of a pack. What is asked for stands in the address. */
export function ReadingsScreen({ asked }: { readonly asked: string | undefined }) {
  const { came, again } = useDocument<PacksDocument>('/packs');
  const ofJobs = usePacksOfJobs();
  const packs = came?.came === 'document' ? came.document.packs : [];
  const notice = packs.find((one) => one.notice !== undefined)?.notice;
  return (
    <>
      <main class="page audit">
        <ReadingsForm asked={asked} packs={packs} ofJobs={ofJobs} />
        {/* Where something is asked for, that says the same. */}
        {asked === undefined && came?.came === 'problem' ? (
          <ProblemShown problem={came.problem} onAgain={again} />
        ) : null}
        {asked === undefined ? null : <ReadingsAsked asked={asked} notice={notice} />}
      </main>
      <Deferring deferral={deferral} notice={notice} />
    </>
  );
}
