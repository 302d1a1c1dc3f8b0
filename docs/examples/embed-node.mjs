// Works through one job of a pack in Node, without the command: reads the pack, resolves it for a variant, answers what
// the job offers, keeps the facts as JSON, and makes the job again from them.
// From the root of a built checkout (npm run build): node docs/examples/embed-node.mjs [pack folder]
import { randomUUID } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import { decide, offers, resolve, start } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';

const folder =
  process.argv[2] ?? fileURLToPath(new URL('../../specs/valve-clearance/1.0.0', import.meta.url));

const read = await readPack(folder);
const { pack, diagnostics = [] } = validate(read.document);
const resolved = pack && resolve(pack, { procedure: 'set-clearances', variant: 'marram-four' });
const faults = [...read.diagnostics, ...diagnostics, ...(resolved?.diagnostics ?? [])];
if (resolved?.plan === undefined) {
  for (const one of faults) console.error(`${one.severity} ${one.code} ${one.message}`);
  process.exit(1);
}
const { plan } = resolved;
console.log(plan.pack.notice);
console.log(
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.",
);

// Who, when and under which id comes from the host: the engine knows no clock and no chance.
const occasion = (by) => ({ at: new Date().toISOString(), by, id: randomUUID() });
const begun = start(
  plan,
  {
    bundle: bundleOf(read.document).digest,
    persons: [
      { role: 'technician', person: 'technician A' },
      { role: 'lead', person: 'lead C' },
    ],
    instruments: [
      { kind: 'feeler-gauge', identity: 'FG-1' },
      { kind: 'torque-wrench', identity: 'TW-2', due: '2099-12-31' },
    ],
  },
  occasion('technician A'),
);
if (begun.refusals) throw new Error(begun.refusals[0].message);
let { job } = begun;

/** Gives a command. A refusal changes nothing; the facts of a command are kept together or not at all. */
function give(command) {
  const decided = decide(plan, job, command, occasion('technician A'), job.seq);
  if (decided.refusals) return decided.refusals[0].message;
  // A host appends decided.facts to its store here, and goes on only when they are there.
  job = decided.job;
  return undefined;
}

/** What a technician would answer. Your screen asks a person instead. */
function answer(offer) {
  switch (offer.offer) {
    case 'acknowledge':
      return { command: 'acknowledge', step: offer.step };
    case 'done':
      return { command: 'done', step: offer.step };
    case 'record':
      return {
        command: 'record',
        entry: offer.entry,
        value: offer.entry.startsWith('inlet') ? '0,25' : '.45 mm',
      };
    case 'close':
      return { command: 'close' };
    default:
      throw new Error(`no answer for ${offer.offer}`);
  }
}

let now = offers(plan, job);
let isFirstEntry = true;
while (now.standing !== 'closed') {
  const offer = now.offers.find((one) => one.offer !== 'park');
  if (offer === undefined) throw new Error(now.blocked.map((one) => one.message).join(' '));
  if (offer.offer === 'record' && isFirstEntry) {
    isFirstEntry = false;
    console.log(`refused: ${give({ command: 'record', entry: offer.entry, value: '1,234' })}`);
  }
  const refusal = give(answer(offer));
  if (refusal !== undefined) throw new Error(refusal);
  now = offers(plan, job);
}
for (const { fact } of job.facts) {
  if (fact.kind === 'judged') console.log(`${fact.of}: ${fact.verdict.value}, ${fact.verdict.verdict}`);
}

// The facts are all that has to be stored: the job is their fold.
const again = replay(plan, JSON.parse(JSON.stringify(job.facts)));
console.log(
  again.fault ? `not the same job: ${again.fault.message}` : `${again.job.facts.length} facts, closed`,
);
