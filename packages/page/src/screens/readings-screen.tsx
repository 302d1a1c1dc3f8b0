import { ReadingsAsked } from '../readings/readings-asked.tsx';
import { ReadingsForm } from '../readings/readings-form.tsx';
import '../style/audit.css';
import '../style/which-jobs.css';
import '../style/readings.css';

/** How what was measured lies against its limits, over all jobs of a pack. What is asked for stands in the address. */
export function ReadingsScreen({ asked }: { readonly asked: string }) {
  return asked === '' ? (
    <main class="page audit">
      <ReadingsForm asked={asked} />
    </main>
  ) : (
    <ReadingsAsked asked={asked}>
      <ReadingsForm asked={asked} />
    </ReadingsAsked>
  );
}
