import { useEffect, useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { kept } from '../job/kept.ts';

/** How often is looked what waits, in milliseconds. What is being stored at this moment is over by the first look. */
const LOOK = 1000;

interface Waiting {
  readonly job: string;
  readonly count: number;
  readonly title: string;
}

/** Jobs in which something waits on this device. Whoever left them may take what was done there for stored. */
export function WaitingHere() {
  const [waiting, setWaiting] = useState<readonly Waiting[]>([]);
  useEffect(() => {
    let isGone = false;
    const look = setInterval(async () => {
      const found = await Promise.all(
        (await kept.waiting()).map(async ({ job, count }) => ({
          ...{ job, count },
          title: (await kept.job(job))?.document.procedure.title ?? job,
        })),
      );
      if (!isGone) setWaiting(found);
    }, LOOK);
    return () => {
      isGone = true;
      clearInterval(look);
    };
  }, []);
  if (waiting.length === 0) return null;
  return (
    <section class="to-store">
      <h2>Kept on this device, not stored yet</h2>
      <p class="empty">
        Open the job: what was done in it is stored then, and has the time of storing in the record.
      </p>
      <ul class="job-list">
        {waiting.map(({ job, count, title }) => (
          <li key={job}>
            <a href={addressOf('job', job)}>
              <strong>{title}</strong>
              <span>{count} not stored, kept here</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
