import type { ChangeClass, Weight } from './change.ts';

/** Whether more of something protects people and conformity more, or less. */
export type Sense = 'protects' | 'allows';

/** What kinds of things are known by names that a revision may change. */
export type NameKind =
  | 'roles'
  | 'conditions'
  | 'hazards'
  | 'equipment'
  | 'supplies'
  | 'instruments'
  | 'tables'
  | 'parts'
  | 'joints'
  | 'stock'
  | 'fields'
  | 'states'
  | 'operations'
  | 'variants'
  | 'holds'
  | 'procedures'
  | 'readings'
  | 'observations'
  | 'derived'
  | 'tolerances'
  | 'steps'
  | 'any';

/** How what stands under a key is compared, and what a difference in it is called and weighs. */
export type Form =
  /** Said once for the revision as a whole, or not at all. */
  | { readonly form: 'elsewhere' }
  | { readonly form: 'words'; readonly weight?: Weight }
  | { readonly form: 'source' }
  /** A quantity, a number or a word. `bigger` says what a larger value does. */
  | {
      readonly form: 'value';
      readonly weight: Weight;
      readonly change?: ChangeClass;
      readonly bigger?: Sense;
    }
  | { readonly form: 'values'; readonly weight: Weight; readonly change?: ChangeClass }
  /** Two quantities, lowest and highest. */
  | { readonly form: 'span'; readonly weight: Weight; readonly change?: ChangeClass; readonly wider?: Sense }
  | {
      readonly form: 'name';
      readonly of: NameKind;
      readonly weight: Weight;
      readonly change?: ChangeClass;
      /** What it does that there is one at all. */
      readonly there?: Sense;
    }
  /** Names of which the order says nothing. */
  | {
      readonly form: 'names';
      readonly of: NameKind;
      readonly weight: Weight;
      readonly added: ChangeClass;
      readonly removed: ChangeClass;
      readonly more?: Sense;
    }
  | { readonly form: 'yes'; readonly weight: Weight; readonly sense: Sense; readonly change?: ChangeClass }
  | { readonly form: 'ranked'; readonly ranks: readonly string[]; readonly change: ChangeClass }
  /** A map of states. A condition that must hold protects more the narrower it is; one that starts a law, the wider. */
  | { readonly form: 'states'; readonly narrower: Sense }
  | { readonly form: 'expression' }
  | { readonly form: 'condition' }
  | { readonly form: 'keys'; readonly keys: Keys }
  | { readonly form: 'things'; readonly kind: string; readonly of: NameKind; readonly keys: Keys }
  | { readonly form: 'remedy' }
  | { readonly form: 'nodes' }
  /** Compared together with its neighbours, by a file of its own. */
  | { readonly form: 'together' };

export type Keys = Readonly<Record<string, Form>>;

const words: Form = { form: 'words' };
const source: Form = { form: 'source' };
const elsewhere: Form = { form: 'elsewhere' };
const together: Form = { form: 'together' };
const value = (
  weight: Weight,
  more: { readonly change?: ChangeClass; readonly bigger?: Sense } = {},
): Form => ({
  form: 'value',
  weight,
  ...more,
});
const name = (
  of: NameKind,
  weight: Weight,
  more: { readonly change?: ChangeClass; readonly there?: Sense } = {},
): Form => ({ form: 'name', of, weight, ...more });
/** Names each of which asks for something. */
const required = (of: NameKind, weight: Weight): Form => ({
  form: 'names',
  of,
  weight,
  added: 'strengthened',
  removed: 'weakened',
  more: 'protects',
});
const plain = (of: NameKind, weight: Weight): Form => ({
  form: 'names',
  of,
  weight,
  added: 'added',
  removed: 'removed',
});
const cautions: Form = {
  form: 'names',
  of: 'hazards',
  weight: 'safety',
  added: 'caution-added',
  removed: 'caution-removed',
  more: 'protects',
};
const yes = (weight: Weight, sense: Sense): Form => ({ form: 'yes', weight, sense });
const mustHold: Form = { form: 'states', narrower: 'protects' };
const instrument = value('conformity', { change: 'instrument-changed' });
const worseInstrument = value('conformity', { change: 'instrument-changed', bigger: 'allows' });
const rule = value('conformity', { change: 'rule-changed' });
const titled: Keys = { title: words, note: words };
const inUse: Keys = { ...titled, hazards: cautions };

const release: Keys = {
  concession: together,
  witness: together,
  rework: { form: 'nodes' },
  'resume-at': name('steps', 'conformity', { change: 'hold-changed' }),
  times: value('conformity', { change: 'hold-changed' }),
  by: name('roles', 'conformity', { change: 'hold-changed' }),
  redo: value('conformity', { change: 'hold-changed' }),
};

const hold: Keys = { text: words, safety: yes('safety', 'protects'), release: together };

const tolerance: Keys = {
  of: name('any', 'conformity', { change: 'rule-changed' }),
  title: words,
  nominal: together,
  deviation: together,
  plus: together,
  minus: together,
  between: together,
  'at-least': together,
  'at-most': together,
  rule: together,
  'guard-band': together,
  'at-least-probability': together,
  'warn-above': rule,
  capability: value('conformity', { change: 'rule-changed', bigger: 'protects' }),
  usual: value('wording'),
  source,
};

const reading: Keys = {
  measurand: words,
  quantity: rule,
  unit: value('wording', { change: 'restated' }),
  instrument: name('instruments', 'conformity', { change: 'instrument-changed' }),
  per: value('conformity'),
  plausible: { form: 'span', weight: 'conformity', wider: 'allows' },
  requires: mustHold,
  when: value('wording'),
  repeats: {
    form: 'keys',
    keys: {
      times: value('conformity', { change: 'rule-changed', bigger: 'protects' }),
      'agree-within': value('conformity', { change: 'rule-changed', bigger: 'allows' }),
      most: rule,
      take: rule,
    },
  },
  throughout: required('tolerances', 'conformity'),
  carry: {
    form: 'keys',
    keys: {
      from: rule,
      procedure: rule,
      value: rule,
      'valid-for': value('conformity', { change: 'rule-changed', bigger: 'allows' }),
      'of-engine': rule,
    },
  },
  circle: rule,
  card: value('wording'),
};

const observation: Keys = {
  text: words,
  answers: together,
  order: { form: 'values', weight: 'wording' },
  conforming: {
    form: 'names',
    of: 'any',
    weight: 'conformity',
    added: 'loosened',
    removed: 'tightened',
    more: 'allows',
  },
  per: value('conformity'),
  when: value('wording'),
  requires: mustHold,
  card: value('wording'),
};

const derived: Keys = { is: { form: 'expression' }, title: words, per: value('conformity') };

const preliminary: Keys = {
  conditions: required('conditions', 'safety'),
  persons: required('roles', 'conformity'),
  equipment: plain('any', 'work'),
  supplies: plain('supplies', 'work'),
  spares: plain('parts', 'work'),
  safety: cautions,
};

export const procedureKeys: Keys = {
  procedure: elsewhere,
  title: words,
  source,
  variants: {
    form: 'names',
    of: 'variants',
    weight: 'work',
    added: 'variant-added',
    removed: 'variant-removed',
  },
  takes: value('work'),
  preliminary: { form: 'keys', keys: preliminary },
  afterwards: required('conditions', 'safety'),
  'due-next': { form: 'values', weight: 'wording', change: 'reworded' },
  starts: { form: 'states', narrower: 'protects' },
  ends: mustHold,
  readings: { form: 'things', kind: 'reading', of: 'readings', keys: reading },
  observations: { form: 'things', kind: 'observation', of: 'observations', keys: observation },
  derived: { form: 'things', kind: 'derived', of: 'derived', keys: derived },
  tolerances: { form: 'things', kind: 'tolerance', of: 'tolerances', keys: tolerance },
  exports: plain('any', 'work'),
  holds: { form: 'things', kind: 'hold', of: 'holds', keys: hold },
  parking: {
    form: 'keys',
    keys: {
      'only-while': mustHold,
      instructions: { form: 'words', weight: 'safety' },
      'on-resuming': required('conditions', 'safety'),
    },
  },
  steps: { form: 'nodes' },
};

const interlock: Keys = {
  law: elsewhere,
  says: words,
  while: { form: 'states', narrower: 'allows' },
  forbid: required('operations', 'safety'),
  operation: name('operations', 'safety'),
  entering: { form: 'states', narrower: 'allows' },
  'only-while': mustHold,
  never: { form: 'states', narrower: 'allows' },
};

/** The keys of a node, by what it is. The bodies that hold other nodes are `nodes`. */
export const nodeKeys: Readonly<Record<string, Keys>> = {
  step: {
    step: elsewhere,
    title: words,
    'only-if': { form: 'condition' },
    hazards: cautions,
    requires: mustHold,
    do: words,
    turn: value('safety', { change: 'plan-changed' }),
    'turn-to': {
      form: 'keys',
      keys: { mark: value('safety', { change: 'plan-changed' }), 'proved-by': words },
    },
    'turn-until': { form: 'words', weight: 'safety' },
    'loses-crank': yes('safety', 'protects'),
    tighten: {
      form: 'keys',
      keys: {
        joint: name('joints', 'conformity', { change: 'changed' }),
        stages: { form: 'values', weight: 'conformity' },
        with: name('instruments', 'conformity', { change: 'instrument-changed' }),
        adapter: { form: 'keys', keys: { length: value('conformity'), angle: value('conformity') } },
        'running-torque': name('any', 'conformity'),
        pattern: { form: 'values', weight: 'conformity' },
      },
    },
    remove: plain('parts', 'work'),
    renew: required('parts', 'conformity'),
    identify: {
      form: 'keys',
      keys: {
        part: name('parts', 'conformity'),
        as: value('conformity'),
        'accept-new': yes('conformity', 'allows'),
      },
    },
    select: {
      form: 'keys',
      keys: {
        from: name('stock', 'work'),
        for: name('tolerances', 'conformity'),
        fitted: value('work'),
        sensitivity: value('conformity', { change: 'rule-changed' }),
        more: value('conformity', { change: 'rule-changed' }),
      },
    },
    wait: value('work', { bigger: 'protects' }),
    photograph: { form: 'words', weight: 'work' },
    'refer-to': { form: 'keys', keys: { pack: value('work'), procedure: value('work'), title: words } },
    'fill-in': name('fields', 'work'),
    observe: name('observations', 'conformity', { there: 'protects' }),
    read: required('readings', 'conformity'),
    operation: required('operations', 'safety'),
    with: plain('any', 'work'),
    changes: together,
    judge: name('tolerances', 'conformity', { there: 'protects' }),
    'if-nonconforming': { form: 'remedy' },
    'if-inconclusive': { form: 'remedy' },
    'if-struck': { form: 'remedy' },
    witness: name('roles', 'safety', { there: 'protects' }),
    'together-with': name('roles', 'safety', { there: 'protects' }),
    'not-applicable': name('roles', 'conformity', { there: 'allows' }),
    disturbs: required('readings', 'conformity'),
    raises: plain('any', 'work'),
    lowers: plain('any', 'work'),
  },
  block: { block: elsewhere, title: words, 'only-if': { form: 'condition' }, steps: { form: 'nodes' } },
  each: {
    each: elsewhere,
    id: elsewhere,
    of: { form: 'values', weight: 'work' },
    title: words,
    'only-if': { form: 'condition' },
    steps: { form: 'nodes' },
  },
  perform: {
    perform: name('procedures', 'work'),
    as: elsewhere,
    given: value('work'),
    when: value('wording'),
    'only-if': { form: 'condition' },
  },
  choose: { choose: elsewhere, cases: together, otherwise: { form: 'nodes' } },
  hold: { hold: elsewhere, 'only-if': { form: 'condition' } },
};

/** The keys of a remedy that is rework. */
export const reworkKeys: Keys = {
  rework: { form: 'nodes' },
  'resume-at': name('steps', 'conformity', { change: 'hold-changed' }),
  attempts: value('conformity', { change: 'hold-changed' }),
  exhausted: name('holds', 'conformity', { change: 'hold-changed' }),
  redo: value('conformity', { change: 'hold-changed' }),
};

export const releaseKeys: Keys = release;

export const packKeys: Keys = {
  format: elsewhere,
  pack: elsewhere,
  revision: elsewhere,
  title: words,
  notice: { form: 'words', weight: 'safety' },
  source,
  uses: together,
  overlaid: together,
  roles: { form: 'things', kind: 'role', of: 'roles', keys: titled },
  conditions: {
    form: 'things',
    kind: 'condition',
    of: 'conditions',
    keys: { text: { form: 'words', weight: 'safety' } },
  },
  hazards: {
    form: 'things',
    kind: 'hazard',
    of: 'hazards',
    keys: {
      signal: {
        form: 'ranked',
        ranks: ['notice', 'caution', 'warning', 'danger'],
        change: 'caution-severity',
      },
      text: { form: 'words', weight: 'safety' },
      acknowledge: { form: 'yes', weight: 'safety', sense: 'protects', change: 'caution-severity' },
    },
  },
  equipment: { form: 'things', kind: 'equipment', of: 'equipment', keys: inUse },
  supplies: { form: 'things', kind: 'supply', of: 'supplies', keys: inUse },
  instruments: {
    form: 'things',
    kind: 'instrument',
    of: 'instruments',
    keys: {
      title: words,
      quantity: instrument,
      range: { form: 'span', weight: 'conformity', change: 'instrument-changed' },
      resolution: worseInstrument,
      'maximum-permissible-error': worseInstrument,
      calibration: {
        form: 'keys',
        keys: {
          'expanded-uncertainty': worseInstrument,
          'coverage-factor': instrument,
          'degrees-of-freedom': instrument,
        },
      },
      'common-error': instrument,
      'torque-class': { form: 'keys', keys: { type: instrument, class: instrument } },
      length: instrument,
      calibrated: yes('conformity', 'protects'),
      'if-overdue': {
        form: 'keys',
        keys: { concession: name('roles', 'conformity', { there: 'allows' }) },
      },
      'if-beyond-range': {
        form: 'keys',
        keys: { concession: name('roles', 'conformity', { there: 'allows' }) },
      },
      note: words,
    },
  },
  tables: {
    form: 'things',
    kind: 'table',
    of: 'tables',
    keys: {
      title: words,
      of: rule,
      gives: rule,
      points: { form: 'values', weight: 'conformity', change: 'rule-changed' },
      source,
      note: words,
    },
  },
  parts: {
    form: 'things',
    kind: 'part',
    of: 'parts',
    keys: {
      title: words,
      per: value('conformity'),
      identity: name('any', 'conformity', { there: 'protects' }),
      'matched-with': required('parts', 'conformity'),
      'tied-to-bore': yes('conformity', 'protects'),
      'single-use': yes('conformity', 'protects'),
    },
  },
  joints: {
    form: 'things',
    kind: 'joint',
    of: 'joints',
    keys: { title: words, fasteners: value('work'), note: words },
  },
  stock: {
    form: 'things',
    kind: 'stock',
    of: 'stock',
    keys: {
      title: words,
      quantity: value('work'),
      sizes: { form: 'values', weight: 'work' },
      stack: value('work'),
      total: { form: 'span', weight: 'conformity', wider: 'allows' },
      'maximum-permissible-error': value('conformity', { bigger: 'allows' }),
      note: words,
    },
  },
  fields: {
    form: 'things',
    kind: 'field',
    of: 'fields',
    keys: {
      title: words,
      shape: value('conformity'),
      longest: value('wording'),
      card: value('wording'),
    },
  },
  states: {
    form: 'things',
    kind: 'state',
    of: 'states',
    keys: {
      title: words,
      per: value('conformity'),
      is: plain('any', 'work'),
      starts: value('work'),
      ends: {
        form: 'names',
        of: 'any',
        weight: 'safety',
        added: 'weakened',
        removed: 'strengthened',
        more: 'allows',
      },
    },
  },
  operations: { form: 'things', kind: 'operation', of: 'operations', keys: titled },
  interlocks: together,
  variants: {
    form: 'things',
    kind: 'variant',
    of: 'variants',
    keys: {
      title: words,
      cylinders: together,
      'firing-order': together,
      'running-direction': { form: 'words', weight: 'safety' },
      cycle: together,
      'off-base': together,
      marks: together,
      rotation: together,
      facts: together,
    },
  },
  holds: { form: 'things', kind: 'hold', of: 'holds', keys: hold },
  procedures: { form: 'things', kind: 'procedure', of: 'procedures', keys: procedureKeys },
  trials: together,
};

export const interlockKeys: Keys = interlock;
