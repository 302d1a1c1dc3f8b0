import { type Pack, type Procedure, pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const lostPreliminary: DiagnosticKind = {
  code: 'lost-preliminary',
  severity: 'warning',
  says: 'A performed procedure asks for something before or after its steps, and the job that performs it does not.',
  marks: 'value',
  examine: lostPreliminaries,
};

const lists = ['conditions', 'persons', 'equipment', 'supplies', 'spares', 'safety'] as const;

/** Of a performed procedure only the steps are done: what its own preliminary asks for, its job has to ask for. */
function* lostPreliminaries(subject: Subject): Generator<Finding> {
  const { pack, plans } = subject;
  for (const job of new Set(plans.map((plan) => plan.procedure.id))) {
    const asked = pack.procedures[job];
    if (asked === undefined) continue;
    const shown = new Set(
      plans
        .filter((plan) => plan.procedure.id === job)
        .flatMap((plan) => plan.nodes.flatMap((node) => (node.node === 'step' ? node.hazards : []))),
    );
    for (const id of performedBy(job, pack)) {
      const own = pack.procedures[id];
      if (own === undefined) continue;
      for (const { key, pointer, name } of asksOf(own, pointerTo('/procedures', id))) {
        if (key === 'safety' ? shown.has(name) : wants(asked, key).includes(name)) continue;
        const signal = key === 'safety' ? pack.hazards?.[name]?.signal : undefined;
        yield {
          pointer,
          severity: signal === 'danger' || signal === 'warning' ? 'error' : 'warning',
          message: `${job} performs ${id} and does not ask for ${name}: of a performed procedure only the steps are done.`,
          remedy:
            key === 'safety'
              ? `Put ${name} into safety of ${job}, or into hazards of the step where it threatens.`
              : `Put ${name} into ${key} of ${job} too.`,
          other: [
            {
              pointer: pointerTo(
                '/procedures',
                job,
                ...(asked.preliminary === undefined ? [] : ['preliminary']),
              ),
              message: 'what is asked for when the job begins',
            },
          ],
        };
      }
    }
  }
}

type Key = (typeof lists)[number] | 'afterwards';

const wants = (procedure: Procedure, key: Key): readonly string[] =>
  (key === 'afterwards' ? procedure.afterwards : procedure.preliminary?.[key]) ?? [];

function* asksOf(procedure: Procedure, pointer: string) {
  for (const key of [...lists, 'afterwards'] as const) {
    const at = key === 'afterwards' ? pointerTo(pointer, key) : pointerTo(pointer, 'preliminary', key);
    for (const [index, name] of wants(procedure, key).entries())
      yield { key, name, pointer: pointerTo(at, index) };
  }
}

/** Every procedure that a job comes to perform. */
function performedBy(job: string, pack: Pack): ReadonlySet<string> {
  const found = new Set<string>();
  const waiting: unknown[] = [pack.procedures[job], pack.holds];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (typeof next !== 'object' || next === null) continue;
    if ('perform' in next && typeof next.perform === 'string' && !found.has(next.perform)) {
      found.add(next.perform);
      waiting.push(pack.procedures[next.perform]);
    }
    waiting.push(...Object.values(next));
  }
  return found;
}
