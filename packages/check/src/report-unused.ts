import { type Pack, type Procedure, pointerTo, type Report } from '@ferrule/engine';

const sections = [
  'roles',
  'conditions',
  'hazards',
  'equipment',
  'supplies',
  'instruments',
  'parts',
  'joints',
  'fields',
  'states',
  'operations',
  'holds',
  'procedures',
] as const;

/** Reports what a pack declares and nothing uses: it was forgotten where it should stand, or it should go. */
export function reportUnused(pack: Pack, report: Report): void {
  for (const section of sections) {
    for (const name of Object.keys(pack[section] ?? {})) {
      if (report.isUsed(section, name)) continue;
      report.add('unused-name', pointerTo('', section, name), `Nothing uses ${name}.`, {
        severity: 'warning',
        remedy: `Use it, or take it out of ${section}.`,
      });
    }
  }
  for (const [name, variant] of Object.entries(pack.variants)) {
    const pointer = pointerTo('/variants', name, 'facts');
    for (const fact of Object.keys(variant.facts ?? {})) {
      if (report.isUsed(pointer, fact)) continue;
      report.add('unused-name', pointerTo(pointer, fact), `Nothing reads the fact ${fact} of ${name}.`, {
        severity: 'warning',
        remedy: `Use it as variant.${fact}, or take it out.`,
      });
    }
  }
  for (const [name, part] of Object.entries(pack.parts ?? {})) reportPart(name, part, report);
  for (const [name, procedure] of Object.entries(pack.procedures)) reportProcedure(name, procedure, report);
}

type Part = NonNullable<Pack['parts']>[string];

/** What a part says of its identity is kept only by steps that identify it. */
function reportPart(name: string, part: Part, report: Report): void {
  // Nothing uses it at all: that is said once, at the part.
  if (!report.isUsed('parts', name) || report.isUsed('identities', name)) return;
  const key = (['matched-with', 'tied-to-bore', 'identity'] as const).find((one) => part[one] !== undefined);
  if (key === undefined) return;
  const message =
    key === 'identity'
      ? `No step identifies ${name}.`
      : `No step identifies ${name}, so nothing looks whether ${key} is kept.`;
  report.add('unused-name', pointerTo('/parts', name, key), message, {
    severity: 'warning',
    remedy: `Add identify: { part: ${name}, as: found } and as: fitted to steps, or take ${key} out.`,
  });
}

function reportProcedure(name: string, procedure: Procedure, report: Report): void {
  const pointer = pointerTo('/procedures', name);
  // Nothing performs it: that is said once, at the procedure.
  if (!report.isUsed('procedures', name)) return;
  for (const section of ['readings', 'observations', 'derived'] as const) {
    for (const id of Object.keys(procedure[section] ?? {})) {
      if (report.isUsed(`procedures/${name}`, id)) continue;
      report.add('unused-name', pointerTo(pointer, section, id), `Nothing takes or reads ${id}.`, {
        remedy: 'Take it in a step and use it, or take it out.',
      });
    }
  }
  for (const id of Object.keys(procedure.tolerances ?? {})) {
    if (report.isUsed(`procedures/${name}`, id)) continue;
    report.add('never-judged', pointerTo(pointer, 'tolerances', id), `No step judges by ${id}.`, {
      remedy: `Add judge: ${id} to the step that has the reading.`,
    });
  }
  for (const id of Object.keys(procedure.holds ?? {})) {
    if (report.isUsed(`procedures/${name}/holds`, id)) continue;
    report.add('unused-name', pointerTo(pointer, 'holds', id), `Nothing leads to the hold ${id}.`, {
      severity: 'warning',
    });
  }
}
