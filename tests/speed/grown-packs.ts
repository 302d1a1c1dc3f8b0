import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';

/** How large a pack is made, and what of. */
export interface Growth {
  /** Steps that are written, in rounds of five. */
  readonly steps: number;
  /** Reworks in one another at each reading; 1 if not said. */
  readonly depth?: number;
  /** What follows when a reading is struck that can no longer be taken where the job stands; a built-in hold if not said. */
  readonly wayBack?: boolean;
}

/** Reworks in one another: each adjusts, and checks what it did by a reading of its own, which has a rework in turn. */
function reading(round: number, depth: number, level = 1): readonly object[] {
  const name = level === 1 ? `gap-${round}` : `gap-${round}-${level}`;
  const adjust = { step: `adjust-${level}`, do: 'Turn the adjusting screw.' };
  return [
    {
      step: `measure-${name}`,
      read: name,
      judge: `${name}-limits`,
      'if-nonconforming': {
        rework: [adjust, ...(level < depth ? reading(round, depth, level + 1) : [])],
        'resume-at': `measure-${name}`,
        attempts: '3',
        exhausted: 'ask-the-lead',
      },
    },
  ];
}

/** Lock, put the gauge on, measure, take the gauge off, unlock: as a pump is set. */
const roundOf = (round: number, depth: number, wayBack: boolean) => {
  const [measure] = reading(round, depth);
  const again = {
    rework: [
      { step: 'lock-again', do: 'Put the lock in.', changes: { lock: [['out', 'in'], 'in'] } },
      { step: 'gauge-again', do: 'Put the gauge on.', changes: { gauge: [['off', 'on'], 'on'] } },
    ],
    'resume-at': `measure-gap-${round}`,
    attempts: '3',
    exhausted: 'begin-again',
  };
  return {
    block: `round-${round}`,
    steps: [
      { step: `lock-${round}`, do: 'Put the lock in.', changes: { lock: ['out', 'in'] } },
      { step: `gauge-on-${round}`, do: 'Put the gauge on.', changes: { gauge: ['off', 'on'] } },
      wayBack ? { ...measure, 'if-struck': again } : measure,
      { step: `gauge-off-${round}`, do: 'Take the gauge off.', changes: { gauge: ['on', 'off'] } },
      { step: `unlock-${round}`, do: 'Take the lock out.', changes: { lock: ['in', 'out'] } },
    ],
  };
};

const begin = { step: 'begin', do: 'Clean the place.' };

const beginAgain = {
  text: 'Struck too often.',
  release: [
    {
      rework: [
        { step: 'gauge-away', do: 'Take the gauge off.', changes: { gauge: [['on', 'off'], 'off'] } },
        { step: 'lock-away', do: 'Take the lock out.', changes: { lock: [['in', 'out'], 'out'] } },
      ],
      'resume-at': 'begin',
      times: '3',
      by: 'lead',
    },
  ],
};

/** A pack of one procedure, as its author would write it. */
export function grownDocument({ steps, depth = 1, wayBack = false }: Growth): object {
  const rounds = Array.from({ length: Math.round(steps / 5) }, (_, index) => index + 1);
  const names = rounds.flatMap((round) =>
    Array.from({ length: depth }, (_, level) => (level === 0 ? `gap-${round}` : `gap-${round}-${level + 1}`)),
  );
  return {
    format: '1',
    pack: `steps-${steps}`,
    revision: '1.0.0',
    title: `${steps} steps`,
    notice: 'Made for measuring speed: every value is invented.',
    roles: { technician: { title: 'Technician' }, lead: { title: 'Lead' } },
    variants: { only: { title: 'The only one' } },
    states: {
      lock: { title: 'The lock', is: ['out', 'in'], starts: 'out', ends: 'out' },
      gauge: { title: 'The gauge', is: ['off', 'on'], starts: 'off', ends: 'off' },
    },
    interlocks: [
      {
        law: 'lock-under-gauge',
        says: 'The lock stays in while the gauge is on.',
        entering: { gauge: 'on' },
        'only-while': { lock: 'in' },
      },
      {
        law: 'gauge-off-to-unlock',
        says: 'The gauge is on.',
        entering: { lock: 'out' },
        'only-while': { gauge: 'off' },
      },
    ],
    holds: {
      'ask-the-lead': { text: 'Ask the lead.', release: [{ concession: 'lead' }] },
      ...(wayBack ? { 'begin-again': beginAgain } : {}),
    },
    procedures: {
      main: {
        title: `${steps} steps`,
        readings: Object.fromEntries(
          names.map((name) => [
            name,
            {
              measurand: name,
              quantity: 'length',
              unit: 'mm',
              plausible: ['0 mm', '10 mm'],
              requires: { gauge: 'on' },
            },
          ]),
        ),
        tolerances: Object.fromEntries(
          names.map((name) => [
            `${name}-limits`,
            { of: name, between: ['1.00 mm', '2.00 mm'], source: 'invented' },
          ]),
        ),
        steps: [begin, ...rounds.map((round) => roundOf(round, depth, wayBack))],
      },
    },
  };
}

export function packOf(document: object): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics.slice(0, 3)));
  return pack;
}

/** Odd cylinders going up, then even ones coming down: 1-3-2, 1-3-4-2, 1-3-5-6-4-2, as engines in line are laid out. */
const firingOrder = (cylinders: number): readonly string[] => {
  const all = Array.from({ length: cylinders }, (_, index) => index + 1);
  const odd = all.filter((one) => one % 2 === 1);
  return [...odd, ...all.filter((one) => one % 2 === 0).reverse()].map(String);
};

/** The variant whose number of cylinders is changed. */
export const STRETCHED = 'marram-five';

/** The demonstration pack with another number of cylinders for one of its engines, and with the order that they fire in. */
export function withCylinders(pack: Pack, cylinders: number): Pack {
  const like = pack.variants[STRETCHED];
  if (like === undefined) throw new Error(`there is no variant ${STRETCHED}`);
  const made = {
    ...like,
    cylinders: String(cylinders),
    'firing-order': firingOrder(cylinders),
    facts: { ...like.facts, caps: String(4 * cylinders), washers: String(cylinders) },
  };
  return { ...pack, variants: { ...pack.variants, [STRETCHED]: made } };
}
