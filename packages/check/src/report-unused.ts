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
  for (const [name, procedure] of Object.entries(pack.procedures)) reportProcedure(name, procedure, report);
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
