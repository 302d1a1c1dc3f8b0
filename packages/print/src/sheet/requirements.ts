import { type Pack, type Plan, type PlanInstrument, Rational, valueAt, type written } from '@ferrule/engine';
import { inBothSystems } from '../both-systems.ts';
import { type Insert, type Markup, markup } from '../markup.ts';
import { blank, tick } from './boxes.ts';
import { hazard, hazardsOf } from './hazards.ts';
import { numbered, usesOf } from './tables.ts';
import { roleTitle, titleOfTool, type Written } from './written.ts';

const none = markup`<p>None.</p>`;

const ticks = (items: readonly Insert[], shape = ''): Markup =>
  items.length === 0
    ? none
    : markup`<ul class="ticks ${shape}">${items.map((one) => markup`<li>${tick(one)}</li>`)}</ul>`;

/** The procedure as it is written, in the pack that the plan was made from. */
export const procedureOf = (plan: Plan, pack: Pack): written.Procedure | undefined =>
  Object.hasOwn(pack.procedures, plan.procedure.id) ? pack.procedures[plan.procedure.id] : undefined;

/** What must be there before the first step, each with a box; `None` is said where a list is empty. */
export function preliminaryRequirements(written: Written): Markup {
  const { plan, pack } = written;
  const listed = procedureOf(plan, pack)?.preliminary;
  if (listed === undefined)
    return markup`<h2>Preliminary requirements</h2><p>The pack states no preliminary requirements for this procedure.</p>${usedElse(written, [])}`;
  const hazards = hazardsOf(plan, listed.safety);
  const uses = usesOf(written);
  const item = (id: string): Insert => {
    const steps = uses.get(id) ?? [];
    return markup`${titleOfTool(pack, id)}${steps.length === 0 ? undefined : markup` <span class="at">${numbered(steps)}</span>`}`;
  };
  // An instrument is ticked where its identity is written down.
  const tools = listed.equipment.filter((id) => !isIdentified(plan, id));
  return markup`<h2>Preliminary requirements</h2>
<h3>Safety</h3>
${hazards.length === 0 ? none : [hazards.map(hazard), markup`<p>${tick('The hazards of this work are read and understood.')}</p>`]}
<h3>Required conditions</h3>
${ticks(
  listed.conditions.map((id) => pack.conditions?.[id]?.text ?? id),
  'single',
)}
<h3>Required persons</h3>
${
  listed.persons.length === 0
    ? none
    : markup`<dl class="names">${listed.persons.map((role) => markup`<dt>${roleTitle(plan, role)}</dt><dd>${blank('long')}</dd>`)}</dl>`
}
<h3>Support equipment${tools.length < listed.equipment.length ? ', beside the instruments' : ''}</h3>
${ticks(tools.map(item))}
<h3>Supplies</h3>
${ticks(listed.supplies.map(item))}
${usedElse(written, [...listed.equipment, ...listed.supplies])}<h3>Spares</h3>
${sparesTable(plan, pack, listed.spares)}`;
}

const isIdentified = (plan: Plan, id: string): boolean => plan.instruments.some((one) => one.id === id);

/** Tools and supplies that steps use and that no list names. */
function usedElse(written: Written, listed: readonly string[]): Markup | undefined {
  const { plan, pack } = written;
  const others = [...usesOf(written)].filter(([id]) => !listed.includes(id) && !isIdentified(plan, id));
  return others.length === 0
    ? undefined
    : markup`<h3>Also used</h3>
${ticks(others.map(([id, steps]) => markup`${titleOfTool(pack, id)} <span class="at">${numbered(steps)}</span>`))}
`;
}

/** How many of a part the steps of the plan renew; a part without a place counts once. */
function numberOfSpares(plan: Plan, part: string): number {
  const places = plan.cells.filter((cell) => cell.cell === 'part' && cell.part === part).length;
  return Math.max(1, places);
}

function sparesTable(plan: Plan, pack: Pack, spares: readonly string[]): Markup {
  if (spares.length === 0) return none;
  return markup`<table class="list"><thead><tr><th scope="col">Spare</th><th scope="col">Number for ${plan.variant.title}</th><th scope="col">In hand</th></tr></thead><tbody>${spares.map(
    (id) =>
      markup`<tr><th scope="row">${pack.parts?.[id]?.title ?? id}</th><td>${numberOfSpares(plan, id)}</td><td>${tick('')}</td></tr>`,
  )}</tbody></table>`;
}

/** What is confirmed when the steps are done, and what is due next. */
export function afterCompletion({ plan, pack, work }: Written): Markup {
  const conditions = (procedureOf(plan, pack)?.afterwards ?? []).map(
    (id) => pack.conditions?.[id]?.text ?? id,
  );
  const next = ledTo({ plan, work });
  return markup`<h2>Requirements after job completion</h2>
${ticks(conditions, 'single')}
<h3>Due next</h3>
${plan.dueNext.length === 0 && next.length === 0 ? none : markup`<ul>${next}${plan.dueNext.map((one) => markup`<li>${one}</li>`)}</ul>`}`;
}

/** What steps lead to, each once with the numbers of its steps; only what was confirmed there is due. */
function ledTo({ plan, work }: Pick<Written, 'plan' | 'work'>): readonly Markup[] {
  const steps = new Map<string, string[]>();
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.act?.act !== 'refer-to') continue;
    const { title, pack, procedure } = node.act;
    const says = `Next: ${title} (pack ${pack}, procedure ${procedure})`;
    const number = work.numberOf(node.index);
    steps.set(says, [...(steps.get(says) ?? []), ...(number === undefined ? [] : [number])]);
  }
  return [...steps].map(([says, numbers]) => {
    const where = numbers.length === 0 ? '' : `, if step ${[...new Set(numbers)].join(' or ')} was done`;
    return markup`<li>${tick(`${says}${where}`)}</li>`;
  });
}

/** Which engine, when, by whom, and what it is measured with. */
export function identification(written: Written): Markup {
  const { plan } = written;
  return markup`<h2>Identification</h2>
<dl class="names"><dt>Engine serial</dt><dd>${blank('long')}</dd><dt>Hours run</dt><dd>${blank('long')}</dd><dt>Technician</dt><dd>${blank('long')}</dd><dt>Date</dt><dd>${blank('long')}</dd><dt>Job</dt><dd>${blank('long')}</dd><dt>Place</dt><dd>${blank('long')}</dd></dl>
<h3>Instruments</h3>
${plan.instruments.length === 0 ? none : instrumentTable(written)}`;
}

function instrumentTable(written: Written): Markup {
  const { plan, pack } = written;
  const uses = usesOf(written);
  return markup`<table class="list instruments"><thead><tr><th scope="col">Instrument</th><th scope="col">Range</th><th scope="col">Resolution</th><th scope="col">May be off by</th><th scope="col">Identity</th><th scope="col">Calibration due</th></tr></thead><tbody>${plan.instruments.map(
    ({ id, title, range, resolution, calibrated, permissibleError }) => {
      const note = valueAt(pack, `/instruments/${id}/note`);
      const steps = uses.get(id) ?? [];
      return markup`<tr><th scope="row">${title}${steps.length === 0 ? undefined : markup` <span class="at">${numbered(steps)}</span>`}${typeof note === 'string' ? markup`<br><small>${note}</small>` : undefined}</th><td>${inBothSystems(range[0])} to ${inBothSystems(range[1])}</td><td>${inBothSystems(resolution)}</td><td>${errorOf(pack, id, permissibleError)}</td><td>${blank('short')}</td><td>${calibrated ? blank('short') : 'not asked for'}</td></tr>`;
    },
  )}</tbody></table>`;
}

/** How far an instrument may be off by what the pack says of its kind: the error, the class, the certificate. */
function errorOf(
  { instruments = {} }: Pack,
  id: string,
  permissibleError: PlanInstrument['permissibleError'],
): string {
  const stated = Object.hasOwn(instruments, id) ? instruments[id] : undefined;
  const torqueClass = stated?.['torque-class'];
  const { calibration } = stated ?? {};
  const error = stated?.['maximum-permissible-error'];
  const parts = [
    ...(error === undefined ? [] : [`± ${error}`]),
    ...(torqueClass === undefined
      ? []
      : [
          `± ${permissibleError?.share.times(Rational.of(100)).toDecimal(0) ?? '?'} % of indication (ISO 6789, type ${torqueClass.type}, class ${torqueClass.class})`,
        ]),
    ...(calibration === undefined
      ? []
      : [`certificate: ± ${calibration['expanded-uncertainty']}, k = ${calibration['coverage-factor']}`]),
  ];
  return parts.join('; ') || 'not stated';
}
