import { describe, expect, test } from 'vitest';
import { fetchedAhead, firstScreen, kilobytes, loadedFor } from '../page/page-weight.ts';

describe('the page comes quickly', () => {
  test.each([
    ['the list of jobs', firstScreen, 30],
    [
      'the list of jobs, with what it fetches ahead',
      [...firstScreen, ...fetchedAhead],
      // What is fetched while the list stands there already.
      160,
    ],
    // The engine is most of it, since the page decides and judges by itself.
    ['a job that is opened by its address', [...firstScreen, 'src/screens/job-screen.tsx'], 155],
  ])('%s loads what it shows in few kilobytes, gzipped', (_, sources, most) => {
    const files = loadedFor(sources);
    expect(files.size).toBeGreaterThan(1);
    expect(kilobytes(files)).toBeLessThan(most);
  });
});
