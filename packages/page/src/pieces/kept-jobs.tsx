import { useEffect, useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { type KeptJob, kept } from '../job/kept.ts';
import { localTime } from './local-time.ts';

/** The jobs that this device has seen, for when the server is not reached: they can be gone on with. */
export function KeptJobs() {
  const [jobs, setJobs] = useState<readonly KeptJob[]>([]);
  useEffect(() => {
    void kept.jobs().then(setJobs);
  }, []);
  if (jobs.length === 0) return null;
  return (
    <section>
      <h2>Seen on this device</h2>
      <p class="empty">What is done in them is kept here, and stored when the server is reached.</p>
      <ul class="job-list">
        {jobs.map(({ document, facts }) => (
          <li key={document.job}>
            <a href={addressOf('job', document.job)}>
              <strong>{document.procedure.title}</strong>
              <span>{document.variant.title}</span>
              <span class="when">
                {facts.length} facts, the last of them <time>{localTime(facts.at(-1)?.at)}</time>
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
