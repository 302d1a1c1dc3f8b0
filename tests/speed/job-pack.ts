import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';

/** Rounds of three steps, twenty of which make a procedure of sixty. */
const ROUNDS = 20;

/** What a round does: lock, measure, unlock. Laws keep the order, and a reading is judged. */
const round = (number: number) => [
  { step: `lock-${number}`, do: 'Put the lock in.', changes: { lock: ['out', 'in'] } },
  {
    step: `measure-${number}`,
    read: `gap-${number}`,
    judge: `gap-limits-${number}`,
    'if-nonconforming': {
      rework: [{ step: 'turn-back', do: 'Turn it back.' }],
      'resume-at': `measure-${number}`,
      attempts: '3',
      exhausted: 'ask-the-lead',
    },
  },
  { step: `unlock-${number}`, do: 'Take the lock out.', changes: { lock: ['in', 'out'] } },
];

const numbers = Array.from({ length: ROUNDS }, (_, index) => index + 1);

/** A pack of one procedure with sixty steps: forty acts under a law, and twenty readings that are judged. */
const document = {
  format: '1',
  pack: 'sixty-steps',
  revision: '1.0.0',
  title: 'Sixty steps',
  notice: 'Made for measuring speed: every value is invented.',
  roles: { technician: { title: 'Technician' }, lead: { title: 'Lead' } },
  variants: { only: { title: 'The only one' } },
  states: { lock: { title: 'The lock', is: ['out', 'in'], starts: 'out', ends: 'out' } },
  holds: { 'ask-the-lead': { text: 'Ask the lead.', release: [{ concession: 'lead' }] } },
  procedures: {
    main: {
      title: 'Sixty steps',
      readings: Object.fromEntries(
        numbers.map((number) => [
          `gap-${number}`,
          {
            measurand: `Gap ${number}`,
            quantity: 'length',
            unit: 'mm',
            plausible: ['0 mm', '10 mm'],
            requires: { lock: 'in' },
          },
        ]),
      ),
      tolerances: Object.fromEntries(
        numbers.map((number) => [
          `gap-limits-${number}`,
          { of: `gap-${number}`, between: ['1.00 mm', '2.00 mm'], source: 'invented' },
        ]),
      ),
      steps: numbers.flatMap(round),
    },
  },
};

/** The plan of the sixty steps. */
export function sixtySteps(): Plan {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics));
  return planOf(pack);
}

function planOf(pack: Pack): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure: 'main', variant: 'only' });
  if (plan === undefined) throw new Error(JSON.stringify(diagnostics));
  return plan;
}

export { ROUNDS };
