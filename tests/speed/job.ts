import {
  advance,
  type Command,
  type Control,
  decide,
  type Job,
  type Plan,
  type Signal,
  signalOf,
  start,
  startControl,
} from '@ferrule/engine';
import { contest } from './contest.ts';
import { machineOf } from './job-machine.ts';
import { ROUNDS, sixtySteps } from './job-pack.ts';
import { type Row, rowsOf, significant, timesFaster } from './row.ts';

const by = 'technician-a';
const at = '2027-01-31T08:00:00Z';

/** A job from its start to its last step: every third reading is out at first and brought in by rework. */
function commands(): readonly Command[] {
  const found: Command[] = [];
  for (let number = 1; number <= ROUNDS; number++) {
    found.push({ command: 'done', step: `lock-${number}` });
    if (number % 3 === 0) {
      found.push({ command: 'record', entry: `gap-${number}`, value: '2.01' });
      found.push({ command: 'done', step: `measure-${number}/if-nonconforming/turn-back` });
    }
    found.push({ command: 'record', entry: `gap-${number}`, value: '1.52' });
    found.push({ command: 'done', step: `unlock-${number}` });
  }
  return found;
}

function started(plan: Plan): Job {
  const { job, refusals } = start(
    plan,
    { bundle: 'sha256:0', persons: [{ role: 'technician', person: by }], instruments: [] },
    { at, by, id: 'start' },
  );
  if (job === undefined) throw new Error(JSON.stringify(refusals));
  return job;
}

function runJob(plan: Plan, first: Job, asked: readonly Command[]): Job {
  let job = first;
  for (const [number, command] of asked.entries()) {
    const decided = decide(plan, job, command, { at, by, id: String(number) });
    if (decided.job === undefined) throw new Error(JSON.stringify(decided.refusals));
    job = decided.job;
  }
  return job;
}

/** The same job as signals: what `advance` sees, and what the machine gets as events. */
function signalsOf(plan: Plan, job: Job): readonly Signal[] {
  return job.facts.slice(1).flatMap((fact) => signalOf(plan, job, fact.fact) ?? []);
}

function runControl(plan: Plan, first: Control, signals: readonly Signal[]): Control {
  let control = first;
  for (const signal of signals) control = advance(plan, control, signal);
  return control;
}

const ADVANCE = 'Ferrule, advance';

/** A job of sixty steps, by commands and by signals alone, beside a state machine of the same steps. */
export async function measureJob(): Promise<readonly Row[]> {
  const plan = sixtySteps();
  const asked = commands();
  const first = started(plan);
  const done = runJob(plan, first, asked);
  const signals = signalsOf(plan, done);
  const begin = startControl(plan);
  const machine = machineOf(plan);
  const events = signals.map((signal) => machine.eventOf(signal));

  // After every event both stand at the same place, in the same states.
  let control = begin;
  const actor = machine.start();
  for (const [place, signal] of signals.entries()) {
    control = advance(plan, control, signal);
    const event = events[place];
    if (event !== undefined) actor.send(event);
    const ours = plan.nodes[control.at]?.path ?? 'end';
    if (machine.placeOf(actor) !== ours) throw new Error(`${machine.placeOf(actor)} is not ${ours}`);
  }
  if (control.at !== plan.nodes.length || done.control.at !== control.at)
    throw new Error('the job is not done');

  const jobs = await contest([
    {
      name: ADVANCE,
      run: (count) => {
        for (let job = 0; job < count; job++) runControl(plan, begin, signals);
      },
    },
    {
      name: 'Ferrule, decide (facts, verdicts, refusals)',
      run: (count) => {
        for (let job = 0; job < count; job++) runJob(plan, first, asked);
      },
    },
    {
      name: 'xstate, actor.send',
      run: (count) => {
        for (let job = 0; job < count; job++) {
          const actor = machine.start();
          for (const event of events) actor.send(event);
        }
      },
    },
  ]);
  const timings = jobs.map(({ name, nanoseconds }) => ({ name, nanoseconds: nanoseconds / events.length }));
  const faster = timesFaster(timings, ADVANCE, 'xstate, actor.send');
  return rowsOf(`a job of 60 steps, ${events.length} events: one event`, timings).map((row, place) => ({
    ...row,
    value: `${row.value}, ${Math.round(1e9 / (timings[place]?.nanoseconds ?? 1)).toLocaleString('en')} a second`,
    ...(place === 0 ? { aim: { says: `10 × xstate (${significant(faster)} ×)`, met: faster >= 10 } } : {}),
  }));
}
