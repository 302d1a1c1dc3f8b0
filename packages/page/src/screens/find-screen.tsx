import { FindForm } from '../which-jobs/find-form.tsx';
import { FoundJobs } from '../which-jobs/found-jobs.tsx';
import '../style/audit.css';
import '../style/which-jobs.css';

/** Jobs by what was used, fitted, held or conceded in them. What is asked for stands in the address, and so outlives the page. */
export function FindScreen({ asked }: { readonly asked: string }) {
  return asked === '' ? (
    <main class="page audit">
      <FindForm asked={asked} />
    </main>
  ) : (
    <FoundJobs asked={asked}>
      <FindForm asked={asked} />
    </FoundJobs>
  );
}
