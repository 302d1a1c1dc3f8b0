import type { Plan } from '../model/plan.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import { changesEngine } from './changes-engine.ts';
import type { Command } from './command.ts';
import type { FactBody } from './fact.ts';
import { findEntry, findNode } from './find.ts';
import { factAt, factsOf, sameSignal, signalOf } from './job.ts';
import type { Refusal } from './refusal.ts';
import { refusedText } from './said.ts';
import type { Signal } from './signal.ts';
import { strikes, waysOn } from './signals.ts';

/** Strikes an earlier fact: it stays visible, and what relied on it is open again. */
export function strike(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'strike' }>,
): Answering {
  const { job } = batch;
  const reason = refusedText(command.reason, 'The reason');
  if (reason !== undefined) return [reason];
  const fact = factAt(job, command.target);
  if (fact === undefined) return [nothing(`There is no fact ${command.target}.`)];
  const { fact: body } = fact;
  const target = command.target;
  switch (body.kind) {
    case 'reading':
    case 'carried':
    case 'observed':
    case 'filled':
    case 'identified': {
      const index = findEntry(plan, body.entry) ?? -1;
      const { entry, step } = body;
      const base = { kind: 'struck', target, entry, step, reason: command.reason } as const;
      if (job.underWay[index]?.some(({ seq }) => seq === target) === true)
        return batch.add({ ...base, open: true }).settle();
      const facts = factsOf(job.taken[index]);
      if (!facts.includes(target))
        return [nothing(`Fact ${target} no longer counts: it was struck or taken again.`)];
      const also = facts.filter((one) => one !== target);
      const struck: FactBody = { ...base, ...(also.length === 0 ? {} : { also }) };
      const signal = signalOf(plan, job, struck);
      if (signal === undefined || !allows(plan, batch, signal)) return [notNow(target)];
      return unlessStuck(plan, batch.add(struck).settle(), command);
    }
    case 'done':
    case 'referred': {
      const node = findNode(plan, body.step) ?? -1;
      const step = plan.nodes[node];
      if (step?.node === 'step' && changesEngine(step)) {
        return [
          nothing(
            `Fact ${target} changed the engine, and striking it would not change it back. Undo the work by rework.`,
          ),
        ];
      }
      const last = job.facts.findLast(({ fact: one }) => isAboutAct(one) && one.step === body.step);
      if (last?.seq !== target)
        return [nothing(`Fact ${target} no longer counts: it was struck or done again.`)];
      if (!allows(plan, batch, { signal: 'undone', node })) return [notNow(target)];
      return unlessStuck(
        plan,
        batch.add({ kind: 'struck', target, step: body.step, reason: command.reason }).settle(),
        command,
      );
    }
    default:
      return [nothing(`Fact ${target} (${body.kind}) cannot be struck.`)];
  }
}

/** What the strike comes to; refused when nothing leads on from there, unless the person insists. */
function unlessStuck(plan: Plan, batch: Batch, command: Extract<Command, { command: 'strike' }>): Answering {
  if (command.insist === true || waysOn(plan, batch.job.control).length > 0) return batch;
  return [
    {
      code: 'no-way-back',
      message: `What fact ${command.target} says cannot be taken again in the present states, and the procedure has no way back to it.`,
      remedy:
        'If it is struck all the same, the job can only be closed as unfinished. Leave a note instead, or insist.',
    },
  ];
}

const isAboutAct = (fact: FactBody): fact is Extract<FactBody, { step: string }> =>
  fact.kind === 'done' ||
  fact.kind === 'referred' ||
  fact.kind === 'omitted' ||
  (fact.kind === 'struck' && fact.entry === undefined);

const allows = (plan: Plan, batch: Batch, signal: Signal): boolean =>
  strikes(plan, batch.job.control).some((one) => sameSignal(one, signal));

const nothing = (message: string): Refusal => ({
  code: 'nothing-to-strike',
  message,
  remedy: 'Strike a reading, an answer, a serial number, a text, or work that changed no state.',
});

const notNow = (target: number): Refusal => ({
  code: 'nothing-to-strike',
  message: `Fact ${target} cannot be struck while this stands open.`,
  remedy: 'Release the hold first, or strike what led to it.',
});
