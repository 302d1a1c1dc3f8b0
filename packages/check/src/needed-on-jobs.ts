import { PART, type Plan, pointerTo, type StepNode, type written } from '@ferrule/engine';
import type { Subject } from './diagnostics/diagnostic-kind.ts';
import { partWork } from './part-work.ts';

/** Something that a step needs to have at hand, and in which list of the preliminary requirements it belongs. */
export interface Need {
  readonly list: 'equipment' | 'supplies' | 'spares';
  readonly name: string;
  readonly pointer: string;
}

/** A job with what it asks for and what its steps need, for all of its variants. */
export interface JobNeeds {
  readonly job: string;
  readonly preliminary: written.Preliminary;
  readonly needs: readonly Need[];
  /** What its steps tell the technician. */
  readonly texts: readonly string[];
}

const made = new WeakMap<Subject['plans'], readonly JobNeeds[]>();

/** The jobs that have preliminary requirements: who has none asks for nothing. */
export function neededOnJobs(subject: Subject): readonly JobNeeds[] {
  const known = made.get(subject.plans);
  if (known !== undefined) return known;
  const jobs = new Map<string, { needs: Map<string, Need>; texts: Set<string> }>();
  for (const plan of subject.plans) {
    const job = jobs.get(plan.procedure.id) ?? { needs: new Map<string, Need>(), texts: new Set<string>() };
    jobs.set(plan.procedure.id, job);
    for (const need of needsOf(plan, subject)) {
      const key = `${need.list} ${need.name} ${need.pointer}`;
      if (!job.needs.has(key)) job.needs.set(key, need);
    }
    for (const node of plan.nodes) {
      // What is asked for before the work is no use of it.
      if (node.node !== 'step' || node.pointer.includes('/preliminary/')) continue;
      if (node.act !== undefined) job.texts.add(node.act.says);
      if (node.title !== undefined) job.texts.add(node.title);
    }
  }
  const needs = [...jobs].flatMap(([job, found]) => {
    const preliminary = subject.pack.procedures[job]?.preliminary;
    return preliminary === undefined
      ? []
      : [{ job, preliminary, needs: [...found.needs.values()], texts: [...found.texts] }];
  });
  made.set(subject.plans, needs);
  return needs;
}

function* needsOf(plan: Plan, subject: Subject): Generator<Need> {
  for (const node of plan.nodes) if (node.node === 'step') yield* needsOfStep(node, subject);
  for (const entry of plan.entries) {
    if (entry.entry !== 'reading' || entry.instrument === undefined || entry.takers.length === 0) continue;
    yield { list: 'equipment', name: entry.instrument, pointer: pointerTo(entry.pointer, 'instrument') };
  }
  for (const { part, to, pointer } of partWork(plan))
    if (to === PART.renewed) yield { list: 'spares', name: part, pointer };
}

function* needsOfStep(step: StepNode, { pack }: Subject): Generator<Need> {
  for (const [index, name] of step.uses.entries()) {
    const isSupply = Object.hasOwn(pack.supplies ?? {}, name);
    yield {
      list: isSupply ? 'supplies' : 'equipment',
      name,
      pointer: pointerTo(step.pointer, 'with', index),
    };
  }
  if (step.act?.act === 'tighten' && step.act.wrench !== undefined)
    yield { list: 'equipment', name: step.act.wrench, pointer: pointerTo(step.pointer, 'tighten', 'with') };
}
