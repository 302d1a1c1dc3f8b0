import type { ServeCall } from '@ferrule/server';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { pageFolder, serveUntilTold } from './serve-until-told.ts';

/** Serves until it is told to stop: by Ctrl-C, or by what has started it. A second Ctrl-C ends it at once. */
export async function runServer({
  tokenFile,
  name,
  acceptTerms,
  key,
  policy,
  ...call
}: Pick<ServeCall, 'packs' | 'jobs' | 'host' | 'port'> & {
  readonly tokenFile?: string;
  readonly name?: readonly string[];
  readonly acceptTerms?: true;
  readonly key?: string;
  readonly policy?: string;
}): Promise<ExitCode> {
  // The server brings a web framework, which no other verb has to wait for.
  const { serve } = await import('@ferrule/server');
  const serving = await serve({
    ...call,
    page: pageFolder,
    ...(tokenFile === undefined ? {} : { tokenFile }),
    ...(name === undefined ? {} : { names: name }),
    ...(acceptTerms === undefined ? {} : { acceptsTerms: true }),
    ...(key === undefined ? {} : { keyFile: key }),
    ...(policy === undefined ? {} : { policyFile: policy }),
    onNote: (line) => complain(wrap(line, 'ferrule: ', '  ')),
    onDefect: (line) => complain(`ferrule: a defect of Ferrule itself: ${line}`),
  });
  if ('wrong' in serving) {
    for (const line of serving.wrong) complain(wrap(line, 'ferrule: ', '  '));
    return 2;
  }
  await serveUntilTold(serving, serving.says.map((line) => wrap(line)).join('\n'));
  return 0;
}
