import { address } from './address.ts';
import { Masthead } from './pieces/masthead.tsx';
import { BeginScreen } from './screens/begin-screen.tsx';
import { JobScreen } from './screens/job-screen.tsx';
import { JobsScreen } from './screens/jobs-screen.tsx';

/** The screen that the address names. */
export function App() {
  const at = address.value;
  switch (at.screen) {
    case 'job':
      return <JobScreen key={at.job} job={at.job} />;
    case 'begin':
      return (
        <Masthead title="Begin a job" back="#/">
          <BeginScreen pack={at.pack} revision={at.revision} procedure={at.procedure} />
        </Masthead>
      );
    case 'jobs':
      return <JobsScreen />;
  }
}
