import { type Diagnostic, type Pack, type Plan, Report, resolve } from '../src/index.ts';
import { validate } from '../src/validate.ts';

/** A document as an author writes it: maps, lists and texts. */
export type Written = { readonly [key: string]: unknown };

/** A three-cylinder engine whose pumps rest on the base circle at the marks that its plan needs (invented). */
export const engine: Written = {
  title: 'Small three-cylinder',
  cylinders: '3',
  'firing-order': ['1', '3', '2'],
  'running-direction': 'clockwise, seen from the front',
  'off-base': { before: '70°', after: '250°' },
  marks: {
    'tdc-firing': { at: '0°', title: 'TDC of cylinder 1, firing' },
    'tdc-exhaust': { at: '360°', title: 'TDC of cylinder 1, exhaust' },
  },
  rotation: {
    from: 'tdc-exhaust',
    sequence: 'rear-to-front',
    accuracy: '8°',
    stops: ['0°', '180°', '360°', '540°'].map((at) => ({ at, 'held-by': `the lock at ${at}` })),
  },
  facts: { 'gap-low': '1.0 mm', 'gap-high': '2.0 mm', colour: 'grey' },
};

const roles: Written = {
  technician: { title: 'Technician' },
  lead: { title: 'Lead' },
  second: { title: 'Second person' },
};

export const holds: Written = {
  'ask-the-lead': { text: 'Ask the lead.', release: [{ concession: 'lead' }] },
  'worn-out': { text: 'It cannot be brought right.', release: [{ concession: 'lead' }] },
  'stay-away': {
    text: 'Nobody goes near.',
    safety: 'yes',
    release: [{ rework: [], 'resume-at': 'begin', times: '2' }],
  },
};

/** A reading of a length between 0 and 10 mm, with more keys where they are given. */
export const length = (more: Written = {}): Written => ({
  measurand: 'Gap',
  quantity: 'length',
  unit: 'mm',
  plausible: ['0 mm', '10 mm'],
  ...more,
});

/** Limits of 1.0 to 2.0 mm for a reading. */
export const limits = (of: string, more: Written = {}): Written => ({
  of,
  between: ['1.0 mm', '2.0 mm'],
  source: 'invented',
  ...more,
});

/** A pack with one procedure, `main`, and what else is given. */
export function packOf(procedure: Written, sections: Written = {}): Written {
  const { procedures, ...others } = sections;
  return {
    format: '1',
    pack: 'small',
    revision: '1.0.0',
    title: 'Small pack',
    roles,
    holds,
    variants: { small: engine },
    ...others,
    procedures: { main: { title: 'Main', ...procedure }, ...(procedures as Written | undefined) },
  };
}

/** The pack, which has to fit the written format. */
export function validPack(document: Written): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics, null, 2));
  return pack;
}

/** The plan of a procedure, which has to resolve without a fault. */
export function planOf(document: Written, procedure = 'main', variant = 'small'): Plan {
  const { plan, diagnostics } = resolve(validPack(document), { procedure, variant });
  if (plan === undefined) throw new Error(JSON.stringify(diagnostics, null, 2));
  return plan;
}

/** What is wrong with a pack, over every procedure and variant of it, in one report. */
export function faultsOf(document: Written): readonly Diagnostic[] {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) return diagnostics;
  const report = new Report();
  for (const procedure of Object.keys(pack.procedures)) {
    if (pack.procedures[procedure]?.takes !== undefined) continue;
    for (const variant of Object.keys(pack.variants)) resolve(pack, { procedure, variant }, report);
  }
  return report.diagnostics;
}
