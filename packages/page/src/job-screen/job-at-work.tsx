import { useSignal } from '@preact/signals';
import type { JobSession } from '../job/session.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { lazyPiece } from '../pieces/lazy-screen.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import { ProblemShown } from '../pieces/problem-shown.tsx';
import { ActingPerson, actingPerson } from './acting-person.tsx';
import { ConflictShown } from './conflict-shown.tsx';
import { EnginePicture } from './engine-picture.tsx';
import { JustNow } from './just-now.tsx';
import { KnownHere } from './known-here.tsx';
import { LinkMark } from './link-mark.tsx';
import { MoreToDo } from './more-to-do.tsx';
import { StepCard } from './step-card.tsx';
import { WayThrough } from './way-through.tsx';

/** A job as it is worked on: the engine on top, below it what is to be done now, and what is known of the place chosen. */
export function JobAtWork({ session }: { readonly session: JobSession }) {
  const { document, plan } = session;
  const offers = session.offers.value;
  const actor = useSignal(actingPerson(document.job, document.persons));
  // A bore that was touched; until then the one that the step is about.
  const chosen = useSignal<number | undefined>(undefined);
  const problem = session.problem.value;
  const conflict = session.conflict.value;
  return (
    <Masthead
      title={plan.procedure.title}
      under={`${plan.variant.title}${engineOf(session)}`}
      back="#/"
      aside={<LinkMark session={session} />}
    >
      <main class="job">
        <EnginePicture session={session} chosen={chosen} at={offers.step?.bore} />
        <WayThrough session={session} />
        <div class="bench">
          {problem === undefined && conflict === undefined ? null : (
            <div class="to-settle">
              {problem === undefined ? null : (
                <ProblemShown problem={problem} onAgain={() => session.tryAgain()} />
              )}
              {conflict === undefined ? null : <ConflictShown session={session} conflict={conflict} />}
            </div>
          )}
          <JustNow session={session} actor={actor.value} />
          <div class="work">
            <StepCard session={session} actor={actor.value} />
            {offers.standing === 'closed' ? null : (
              <div class="beside-step">
                <ActingPerson session={session} actor={actor} />
                <MoreToDo session={session} actor={actor.value} />
              </div>
            )}
          </div>
          <KnownHere session={session} bore={chosen.value ?? offers.step?.bore} chosen={chosen} />
          <AcrossBores session={session} />
        </div>
      </main>
      <Deferring
        notice={document.notice}
        deferral={document.deferral}
        pack={`${document.pack.title} ${document.pack.revision}, ${document.release.words}. Digest ${document.pack.digest.slice(0, 19)}…`}
      />
    </Masthead>
  );
}

/** The bores beside one another stand below everything else: their pictures come when the step is there. */
const AcrossBores = lazyPiece(async () => (await import('./across-shown.tsx')).AcrossShown);

/** The serial number of the engine, where it is known by now. */
function engineOf({ plan, folded }: JobSession): string {
  const index = plan.entries.findIndex(({ card, name }) => card === 'engine' || name === 'engine-serial');
  const taken = folded.value.job.taken[index];
  return taken === undefined ? '' : `, engine ${taken.text}`;
}
