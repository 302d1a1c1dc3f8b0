import type { Pack, Plan, PlanHold, PlanNode, PlanRelease, PlanTolerance } from '@ferrule/engine';
import { inWords, writeAngle, writeQuantity } from '@ferrule/engine';
import { stageInBoth } from '../both-systems.ts';
import { type Markup, markup } from '../markup.ts';
import { tick } from './boxes.ts';
import { writeLimits } from './instruction.ts';
import { fromStep, reworkWords } from './remedies.ts';
import { ruleInWords } from './rule-in-words.ts';
import { mergedForAll, roleTitle, titleOfTool, type Written } from './written.ts';

/** Numbers of steps, those of the work before those of the reworks. */
export function numbered(numbers: readonly string[]): string {
  const sorted = [...new Set(numbers)].sort((a, b) => placeOf(a) - placeOf(b) || (a < b ? -1 : 1));
  const runs: string[][] = [];
  for (const one of sorted) {
    const run = runs.at(-1);
    if (run !== undefined && placeOf(one) === placeOf(run.at(-1) ?? '') + 1) run.push(one);
    else runs.push([one]);
  }
  return runs
    .map((run) => (run.length < LEAST_RUN ? run.join(', ') : `${run[0] ?? ''}–${run.at(-1) ?? ''}`))
    .join(', ');
}

/** From how many neighbours on only the first and the last are said. */
const LEAST_RUN = 3;

const placeOf = (number: string): number => {
  const [, letter = '', place = '0'] = /^([A-Z]*)(\d+)$/.exec(number) ?? [];
  return [...letter].reduce((sum, one) => sum * 27 + one.charCodeAt(0) - 64, 0) * 1_000_000 + Number(place);
};

/** Every torque of the work, once for each joint and stages. */
export function torqueTable({ plan, pack, work }: Written): Markup {
  const rows = new Map<string, { joint: string; stages: string; wrench: string; steps: string[] }>();
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.act?.act !== 'tighten') continue;
    const { joint, stages, wrench, adapter, running, pattern } = node.act;
    const words = [
      stages.map(stageInBoth).join(', then '),
      ...(running === undefined ? [] : ['running torque added']),
      ...(adapter === undefined
        ? []
        : [`adapter ${writeQuantity(adapter.length)} at ${writeQuantity(adapter.angle)}`]),
      ...(pattern === undefined ? [] : [`order ${pattern.join(', ')}`]),
    ].join('; ');
    const key = `${joint} ${words} ${wrench ?? ''}`;
    const row = rows.get(key) ?? {
      joint: pack.joints?.[joint]?.title ?? joint,
      stages: words,
      wrench: wrench === undefined ? '' : titleOfTool(pack, wrench),
      steps: [],
    };
    const number = work.numberOf(node.index);
    if (number !== undefined) row.steps.push(number);
    rows.set(key, row);
  }
  if (rows.size === 0) return markup`<p>None.</p>`;
  return markup`<table class="list torques"><thead><tr><th scope="col">Joint</th><th scope="col">Stages, in order</th><th scope="col">With</th><th scope="col">Steps</th></tr></thead><tbody>${[
    ...rows.values(),
  ].map(
    (row) =>
      markup`<tr><th scope="row">${row.joint}</th><td>${row.stages}</td><td>${row.wrench}</td><td>${numbered(row.steps)}</td></tr>`,
  )}</tbody></table>`;
}

/** What is used at the steps, each tool and supply with the numbers of the steps that it is used at. */
export function usesOf({
  plan,
  work,
}: Pick<Written, 'plan' | 'work'>): ReadonlyMap<string, readonly string[]> {
  const uses = new Map<string, string[]>();
  for (const node of plan.nodes) {
    if (node.node !== 'step') continue;
    const instruments = node.entries.flatMap((index) => {
      const entry = plan.entries[index];
      return entry?.entry === 'reading' && entry.instrument !== undefined ? [entry.instrument] : [];
    });
    const wrench = node.act?.act === 'tighten' && node.act.wrench !== undefined ? [node.act.wrench] : [];
    for (const id of [...node.uses, ...instruments, ...wrench]) {
      const steps = uses.get(id) ?? [];
      const number = work.numberOf(node.index);
      if (number !== undefined) steps.push(number);
      uses.set(id, steps);
    }
  }
  return uses;
}

/** The turns of the crank in order; empty for a plan that turns by no rotation plan. */
export function rotationTable({ crank }: Plan): Markup | undefined {
  const { rotation } = crank;
  if (rotation === undefined) return undefined;
  const at = (position: typeof rotation.start) => crank.positions.find((one) => one.at.equals(position));
  return markup`<table class="list"><caption>From ${at(rotation.start)?.title ?? writeAngle(rotation.start)}, in the running direction only.</caption><thead><tr><th scope="col">Turn</th><th scope="col">By</th><th scope="col">Stop at</th><th scope="col">Bores, in order</th><th scope="col">Margin</th><th scope="col">Held by</th><th scope="col">Done</th></tr></thead><tbody>${rotation.stops.map(
    (stop, index) =>
      markup`<tr><th scope="row">${index + 1}</th><td>${writeAngle(stop.rotation)}</td><td>${writeAngle(stop.position)}</td><td>${stop.bores.join(', ')}</td><td>${stop.margins.map(({ bore, margin }) => `bore ${bore}: ${writeAngle(margin)}`).join('; ')}</td><td>${at(stop.position)?.heldBy ?? ''}</td><td>${tick('')}</td></tr>`,
  )}</tbody></table>`;
}

/** Every tolerance with its limits in both systems and where they are from; those of several bores in one row. */
export function limitTable({ plan, pack }: Pick<Written, 'plan' | 'pack'>): Markup {
  const rows = new Map<string, { first: PlanTolerance; names: string[] }>();
  for (const tolerance of plan.tolerances) {
    const key = `${tolerance.pointer} ${tolerance.says}`;
    const row = rows.get(key) ?? { first: tolerance, names: [] };
    row.names.push(tolerance.name);
    rows.set(key, row);
  }
  if (rows.size === 0) return markup`<p>No limits are judged in this work.</p>`;
  return markup`<table class="list limits"><caption>The limits of the pack decide, in its own unit. What stands in brackets is for orientation, and rounded to the inside.</caption><thead><tr><th scope="col">Tolerance</th><th scope="col">Of</th><th scope="col">Limits, included</th><th scope="col">Source</th></tr></thead><tbody>${[
    ...rows.values(),
  ].map(
    ({ first }) =>
      markup`<tr><th scope="row">${first.title}</th><td>${ofWhat(plan, pack, first)}</td><td>${writeLimits(plan, first)}${ruleLine(plan, first)}</td><td>${first.source}</td></tr>`,
  )}</tbody></table>`;
}

function ruleLine(plan: Plan, tolerance: PlanTolerance): Markup | undefined {
  const rule = ruleInWords(plan, tolerance);
  return rule === undefined ? undefined : markup`<br>${rule}`;
}

function ofWhat(plan: Plan, pack: Pack, tolerance: PlanTolerance): string {
  if (tolerance.value.node === 'name' && tolerance.elapsed === undefined) {
    const entry = plan.entries[tolerance.entries[0] ?? -1];
    return entry?.title ?? inWords(tolerance.of);
  }
  const [, procedure = ''] = /^\/procedures\/([^/]+)\//.exec(tolerance.pointer) ?? [];
  return pack.procedures[procedure]?.derived?.[tolerance.of]?.title ?? inWords(tolerance.of);
}

/** Every hold, what it is for, and the ways on from it. */
export function holdTable(written: Written): Markup {
  const { holds } = written;
  if (holds.all.length === 0) return markup`<p>None.</p>`;
  return markup`<table class="list holds"><thead><tr><th scope="col">Hold</th><th scope="col">Why the work stops</th><th scope="col">Ways on</th><th scope="col">Released by, reason, date</th></tr></thead><tbody>${holds.all.map(
    ({ label, holds: some }) =>
      markup`<tr><th scope="row">${label}</th><td>${mergedForAll(some.map((one) => one.text))}${some[0]?.safety === true ? markup`<p><b>This hold protects people. It has no concession.</b></p>` : undefined}</td><td>${waysOn(written, some)}</td><td></td></tr>`,
  )}</tbody></table>`;
}

function waysOn(written: Written, holds: readonly PlanHold[]): readonly Markup[] {
  const [first] = holds;
  return (first?.releases ?? []).map(
    (way, number) => markup`<div class="way">${wayOn(written, way, holds, number)}</div>`,
  );
}

/** Where a hold goes on that several steps lead to: for each of them, unless it is the same place. */
function fromEach(
  written: Written,
  ways: readonly { readonly body: PlanNode; readonly after: string | undefined }[],
): string {
  const heldBefore = new Map<string, Set<string>>();
  for (const { body, after } of ways) {
    const from = fromStep(written, [body]);
    const steps = heldBefore.get(from) ?? new Set();
    heldBefore.set(from, after === undefined ? steps : steps.add(after));
  }
  const [only] = heldBefore.keys();
  if (heldBefore.size === 1 && only !== undefined) return only;
  return [...heldBefore]
    .map(([from, steps]) => (steps.size === 0 ? from : `${from} after step ${[...steps].join(' or ')}`))
    .join(', ');
}

function wayOn(written: Written, way: PlanRelease, holds: readonly PlanHold[], number: number): Markup {
  const { plan } = written;
  switch (way.by) {
    case 'concession':
      return markup`${tick('concession')} by ${roleTitle(plan, way.role)}, who did not do the work`;
    case 'witness':
      return markup`${tick('witnessed')} by ${roleTitle(plan, way.role)}, who did not do the work`;
    case 'rework': {
      const ways = holds.flatMap((hold) => {
        const same = hold.releases[number];
        const body = same?.by === 'rework' ? plan.nodes[same.body] : undefined;
        return body === undefined ? [] : [{ body, after: written.work.numberOf(hold.node) }];
      });
      const by = way.role === undefined ? '' : ` by ${roleTitle(plan, way.role)}`;
      const times = way.times === 1 ? 'once' : `at most ${way.times} times`;
      const words = reworkWords(
        written,
        ways.map((one) => one.body),
        0,
      );
      return markup`${tick('rework')}${by}, ${times}: ${words} Then again ${fromEach(written, ways)}.`;
    }
  }
}
