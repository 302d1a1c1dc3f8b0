import { useEffect, useState } from 'preact/hooks';
import { type Opened, openSession } from '../job/open-session.ts';
import { JobAtWork } from '../job-screen/job-at-work.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { wayOut } from '../pieces/way-out.ts';

/** One job: opened from the server, or as this device last saw it. */
export function JobScreen({ job }: { readonly job: string }) {
  const [opened, setOpened] = useState<Opened>();
  const [tries, setTries] = useState(0);
  useEffect(() => {
    let leave: (() => void) | undefined;
    let isGone = false;
    void openSession(job).then((one) => {
      if (isGone) return;
      setOpened(one);
      if (one.opened !== 'session') return;
      one.session.attend();
      leave = () => one.session.leave();
    });
    return () => {
      isGone = true;
      leave?.();
    };
  }, [job, tries]);
  const again = (): void => setTries((count) => count + 1);
  if (opened?.opened === 'session') return <JobAtWork session={opened.session} />;
  return (
    <Masthead title="Job" under={job} back="#/">
      <main class="page" aria-busy={opened === undefined}>
        {opened === undefined ? <p class="empty">Opening the job …</p> : null}
        {opened?.opened === 'problem' ? (
          <ProblemShown problem={opened.problem} wayOut={wayOut} onAgain={again} />
        ) : null}
        {opened?.opened === 'away' ? <AwayShown onAgain={again} /> : null}
      </main>
      <Deferring />
    </Masthead>
  );
}
