import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { listJobs, makeStore } from '@ferrule/records';
import { callFault } from '../pack/open-pack.ts';
import { pageFolder, serveUntilTold } from '../serve/serve-until-told.ts';
import { callOf } from '../terminal/call.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, progress } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { makeDemonstrationJobs } from './demonstration-jobs.ts';
import { demonstrationStore, setAside } from './demonstration-store.ts';
import { hasScreen, openInBrowser } from './open-in-browser.ts';

/** The bundle lies in packages/cli/dist of the checkout. */
const checkout = fileURLToPath(new URL('../../..', import.meta.url));
const specs = join(checkout, 'specs');

/** How the demonstration is asked for. */
export interface DemonstrationCall {
  /** The store; else one in the folder for this person's data. */
  readonly jobs?: string;
  readonly port: number;
  /** Whether the page may be opened in the browser. */
  readonly open: boolean;
  /** Begins with new jobs; those of before are moved aside. */
  readonly anew?: true;
}

/** What `npm start` shows: the page with the demonstration packs, and jobs that are finished or that somebody has left half done. */
export async function showPage({ jobs, port, open, anew }: DemonstrationCall): Promise<ExitCode> {
  if (!existsSync(specs))
    return callFault('the demonstration needs a checkout with its specs folder.').exitCode;
  const found = jobs === undefined ? demonstrationStore() : { folder: jobs };
  if ('wrong' in found) return callFault(found.wrong).exitCode;
  const { folder } = found;
  const now = new Date();
  const aside = anew === true ? setAside(folder, now) : undefined;
  const noStore = makeStore(folder);
  if (noStore !== undefined) return callFault(noStore).exitCode;
  if (listJobs(folder).length === 0) {
    progress('ferrule: making two finished jobs, and two that somebody has left half done');
    const faulty = await makeDemonstrationJobs(checkout, folder, now);
    if (faulty !== undefined) return faulty.exitCode;
  }
  // The server brings a web framework, which no other verb has to wait for.
  const { serve } = await import('@ferrule/server');
  const serving = await serve({
    ...{ packs: [specs], jobs: folder, host: '127.0.0.1', port, orNextPort: true, page: pageFolder },
    onNote: (line) => complain(wrap(line, 'ferrule: ', '  ')),
    onDefect: (line) => complain(`ferrule: a defect of Ferrule itself: ${line}`),
  });
  if ('wrong' in serving) {
    for (const line of serving.wrong) complain(wrap(line, 'ferrule: ', '  '));
    return 2;
  }
  const address = `${serving.url}/`;
  const isOpened = open && hasScreen();
  const says = saying({ address, isOpened, folder, aside });
  if (isOpened) openInBrowser(address);
  await serveUntilTold(serving, says);
  return 0;
}

function saying({
  address,
  isOpened,
  folder,
  aside,
}: {
  readonly address: string;
  readonly isOpened: boolean;
  readonly folder: string;
  readonly aside: string | undefined;
}): string {
  const steps = [
    isOpened
      ? 'The page opens in your browser. If it does not, open the address yourself.'
      : 'Open this address in a browser on this machine.',
    'Under way, choose the job on top: valve clearances of a four-cylinder engine, left half done.',
    'Do what the step says, and press the wide button below it. There is no engine here: where a reading is asked for, enter what you like. The limits stand beside it.',
  ];
  return [
    wrap(
      'Ferrule, a demonstration. Every value is invented, and the Marram engines do not exist: do no work on a real engine by it.',
    ),
    '',
    `  ${address}`,
    '',
    ...steps.map((step, index) => wrap(step, `${index + 1}. `)),
    '',
    wrap(`Jobs are kept in ${folder} and are there the next time.`),
    ...(aside === undefined ? [] : [wrap(`What was there before is now in ${aside}`)]),
    '',
    '  npm start -- --anew        begins with new jobs',
    `  ${callOf('demo')}   shows a whole job in the terminal`,
    '  Ctrl-C                     stops the page',
    '',
    wrap(deferral),
  ].join('\n');
}
