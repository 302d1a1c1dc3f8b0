import { useEffect } from 'preact/hooks';
import { address } from './address.ts';
import { lazyScreen } from './pieces/lazy-screen.tsx';
import { Masthead } from './pieces/masthead.tsx';
import { NewerPage } from './pieces/newer-page.tsx';
import { JobsScreen } from './screens/jobs-screen.tsx';

// The first screen comes alone. The engine and all that stands on it come behind it, a file for each screen.
const job = lazyScreen(async () => (await import('./screens/job-screen.tsx')).JobScreen);
const procedures = lazyScreen(async () => (await import('./screens/procedures-screen.tsx')).ProceduresScreen);
const begin = lazyScreen(async () => (await import('./screens/begin-screen.tsx')).BeginScreen);
const compare = lazyScreen(async () => (await import('./screens/compare-screen.tsx')).CompareScreen);
const judged = lazyScreen(async () => (await import('./screens/judged-screen.tsx')).JudgedScreen);
const find = lazyScreen(async () => (await import('./screens/find-screen.tsx')).FindScreen);
const readings = lazyScreen(async () => (await import('./screens/readings-screen.tsx')).ReadingsScreen);
const pack = lazyScreen(async () => (await import('./screens/pack-screen.tsx')).PackScreen);

/** The screen that the address names, and word of a newer page. */
export function App() {
  return (
    <>
      <ScreenAtAddress />
      <NewerPage />
    </>
  );
}

function ScreenAtAddress() {
  const at = address.value;
  useEffect(() => {
    if (at.screen !== 'jobs') return;
    begin.fetch();
    job.fetch();
  }, [at.screen]);
  switch (at.screen) {
    case 'job':
      return <job.Screen key={at.job} job={at.job} />;
    case 'begin':
      return (
        <Masthead title="Begin a job" back="#/">
          <begin.Screen pack={at.pack} revision={at.revision} procedure={at.procedure} />
        </Masthead>
      );
    case 'compare':
      return (
        <Masthead title="Revisions compared" back="#/">
          <compare.Screen
            key={`${at.pack} ${at.before} ${at.after} ${at.asked}`}
            pack={at.pack}
            before={at.before}
            after={at.after}
            sought={at.sought}
            asked={at.asked}
          />
        </Masthead>
      );
    case 'procedures':
      return <procedures.Screen />;
    case 'judged':
      return (
        <Masthead title="Jobs judged again" back="#/">
          <judged.Screen key={`${at.rejudging} ${at.asked}`} rejudging={at.rejudging} asked={at.asked} />
        </Masthead>
      );
    case 'find':
      return (
        <Masthead title="Which jobs" back="#/">
          <find.Screen key={at.asked} asked={at.asked} />
        </Masthead>
      );
    case 'readings':
      return (
        <Masthead title="Readings against a limit" back="#/">
          <readings.Screen key={at.asked} asked={at.asked} />
        </Masthead>
      );
    case 'pack':
      return (
        <pack.Screen
          pack={at.pack}
          revision={at.revision}
          part={at.part}
          number={at.number}
          asked={at.asked}
        />
      );
    case 'jobs':
      return <JobsScreen />;
  }
}
