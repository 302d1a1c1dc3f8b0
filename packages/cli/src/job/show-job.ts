import { replay } from '@ferrule/engine/replay';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { FactLog } from './describe-fact.ts';
import { withOverlay } from './heading.ts';
import { keptRunnable, noKeptPack } from './kept-runnable.ts';
import { openKept } from './open-store.ts';

/** Shows a kept job with all its facts, in words where the store has its pack. */
export function showJob(folder: string, job: string, { format }: { readonly format: Format }): ExitCode {
  const kept = openKept(folder, job);
  if ('exitCode' in kept) return kept.exitCode;
  const { store, header, facts, last, torn } = kept;
  const [summary] = store.list().jobs.filter((one) => one.job === job);
  if (torn !== undefined) complain(`ferrule: ${job}: ${torn.message}`);
  if (format === 'json') {
    sayJson({ header, ...(summary === undefined ? {} : { summary }), last, facts });
    return 0;
  }
  const { pack, overlay, procedure, variant } = header;
  say(wrap(`${job}: ${summary?.state ?? 'without facts'}${summary?.signed === true ? ', signed' : ''}`));
  say(wrap(`${procedure}, ${variant}, ${pack.id} ${pack.revision}${withOverlay(overlay)}`, '  '));
  say(`  ${pack.digest}\n`);
  const runnable = keptRunnable(folder, header);
  if (runnable === undefined) {
    say(wrap(`Its facts are shown by their kinds alone: ${noKeptPack(store, header)}.`));
    for (const one of facts)
      say(
        `${String(one.seq).padStart(5)} ${one.at.slice(0, 16).replace('T', ' ')} ${one.by}  ${one.fact.kind}`,
      );
  } else {
    const { plan, opened } = runnable;
    const replayed = replay(plan, facts);
    if (replayed.job === undefined)
      complain(`ferrule: ${job}: fact ${replayed.fault.seq}: ${replayed.fault.message}`);
    const log = new FactLog();
    for (const one of facts) say(log.write({ plan, pack: opened.pack, facts }, one));
  }
  say(`\nThe record ends with\n${last}`);
  return 0;
}
