import { readFileSync } from 'node:fs';
import { runTrials } from '@ferrule/check';
import { Report, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPackFromFiles } from '@ferrule/source';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { describe, expect, it } from 'vitest';
import { formatPage, namedForms } from '../../packages/engine/generate-docs.js';

type Value = string | readonly Value[] | { readonly [key: string]: Value };
type Map = { readonly [key: string]: Value };

const textAt = (path: string): string => readFileSync(new URL(path, import.meta.url), 'utf8');
const isMap = (value: Value | undefined): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const schemaText = textAt('../../packages/engine/schema/pack.schema.yaml');
const definitions = (
  load(schemaText, { schema: FAILSAFE_SCHEMA }) as { readonly $defs: { [name: string]: Map } }
).$defs;
const basePack = new Map([['pack.yaml', readFileSync(new URL('example-pack.yaml', import.meta.url))]]);
const base = readPackFromFiles(basePack).document;

/** A copy in which the value at the keys is another one. A number is a place in a list. */
function put(into: Value, keys: readonly string[], value: Value): Value {
  const [key, ...rest] = keys;
  if (key === undefined) return value;
  if (Array.isArray(into)) {
    const list = into as readonly Value[];
    return list.map((item, place) => (String(place) === key ? put(item, rest, value) : item));
  }
  const map = isMap(into) ? into : {};
  return { ...map, [key]: put(map[key] ?? {}, rest, value) };
}

/** Where an example goes: the base pack with it, and the keys that lead to it. */
interface Placed {
  readonly pack: Value;
  readonly keys: readonly string[];
}

const at =
  (...keys: readonly string[]) =>
  (example: Value): Placed => ({ pack: put(base, keys, example), keys });
/** In a job of its own that has taken what the examples speak of, inside every bore where they need one. */
const inSteps = (within: 'job' | 'bore', around: (example: Value) => Value, ...inner: readonly string[]) => {
  return (example: Value): Placed => {
    const taken: readonly Value[] = [
      { step: 'look', observe: 'rocker-assembly' },
      { step: 'measure', read: ['depth-open', 'depth-shut', 'travel'] },
    ];
    const node = around(example);
    const steps =
      within === 'job'
        ? [...taken, node]
        : [...taken, { each: 'bore', of: 'bores', steps: [setPoint, node] }];
    const job = put(base, ['procedures', 'set-pumps', 'steps'], steps);
    const place = within === 'job' ? ['2'] : ['2', 'steps', '1'];
    return { pack: job, keys: ['procedures', 'set-pumps', 'steps', ...place, ...inner] };
  };
};
const setPoint: Value = { step: 'before', read: 'rack-shift' };
const itself = (example: Value): Value => example;
const onlyIf = (example: Value): Value => ({ step: 'here', do: 'Look.', 'only-if': example });
const outcome = (example: Value): Value => ({
  step: 'set-point',
  read: 'rack-shift',
  judge: 'shift-limits',
  'if-nonconforming': example,
});
/** The release in a hold that a step of the base pack leads to. */
const release = at('holds', 'ask-the-lead', 'release', '0');
const node = (within: 'job' | 'bore') => inSteps(within, itself);
const trial = (...keys: readonly string[]) => at('trials', 'clean', ...keys);
const third = ['0.041 mm', '0.041 mm', '0.041 mm'];

const over: Map = { pack: 'examples', revision: '1.0.0', digest: bundleOf(base).digest };
/** An overlay of the base pack with every name that the examples of overlays speak of. */
const overlayOfBase: Map = {
  format: '1',
  overlay: 'annexe',
  revision: '1.0.0',
  title: 'An annexe',
  over,
  conditions: { 'tide-card-read': { text: 'The tide card has been read.' } },
  hazards: { 'wet-slip': { signal: 'warning', text: 'The slip is wet.' } },
  instruments: {
    'tenth-micron-indicator': {
      title: 'Inductive indicator',
      quantity: 'length',
      range: ['-1 mm', '1 mm'],
      resolution: '0.0001 mm',
      'maximum-permissible-error': '0.0006 mm',
      calibrated: 'yes',
    },
  },
};
/** In a list of that overlay, after what has to stand there with it. */
const inOverlay =
  (key: string, ...before: readonly Value[]) =>
  (example: Value): Placed => ({
    pack: { ...overlayOfBase, [key]: [...before, example] },
    keys: [key, String(before.length)],
  });

const places: Readonly<Record<string, (example: Value) => Placed>> = {
  UsedLibrary: at('uses', 'harbour-workshop'),
  Overlaid: at('overlaid'),
  // The pack that these two name is nobody's.
  Overlay: (example) => ({ pack: put(example, ['over'], over), keys: [] }),
  OverlaidPack: (example) => ({
    pack: { ...overlayOfBase, over: { ...(isMap(example) ? example : {}), ...over } },
    keys: ['over'],
  }),
  MoreRequirements: inOverlay('preliminary'),
  MoreCautions: inOverlay('cautions'),
  MoreWitnesses: inOverlay('witnesses'),
  MoreHoldPoints: inOverlay('hold-points'),
  StricterLimits: inOverlay('stricter'),
  FinerInstrument: inOverlay('finer', {
    reading: 'set-pumps/after-clamping',
    instrument: 'tenth-micron-indicator',
  }),
  Titled: at('roles', 'lead'),
  InUse: at('equipment', 'turning-tool'),
  RequiredCondition: at('conditions', 'engine-cold'),
  Hazard: at('hazards', 'turning-crankshaft'),
  Instrument: at('instruments', 'fine-dial-indicator'),
  Calibration: at('instruments', 'fine-dial-indicator', 'calibration'),
  InstrumentConcession: at('instruments', 'fine-dial-indicator', 'if-overdue'),
  Table: at('tables', 'leak-down-by-temperature'),
  TorqueClass: at('instruments', 'torque-wrench-low', 'torque-class'),
  Part: at('parts', 'pump'),
  Joint: at('joints', 'pump-clamp'),
  Stock: at('stock', 'adjusting-shims'),
  Field: at('fields', 'engine-serial'),
  State: at('states', 'pump'),
  StateMap: inSteps('job', (map) => ({ step: 'here', do: 'Look.', requires: map }), 'requires'),
  Interlock: at('interlocks', '0'),
  Variant: at('variants', 'marram-four'),
  Procedure: at('procedures', 'example'),
  Preliminary: at('procedures', 'set-pumps', 'preliminary'),
  Reading: at('procedures', 'set-pumps', 'readings', 'rack-shift'),
  Repeats: at('procedures', 'set-pumps', 'readings', 'rack-shift', 'repeats'),
  Carry: (carry) => {
    const shift = at('procedures', 'set-pumps', 'readings', 'rack-shift', 'carry')(carry);
    const filled: Value = { step: 'number', 'fill-in': 'engine-serial' };
    const steps = (base as { procedures: { 'set-pumps': { steps: readonly Value[] } } }).procedures[
      'set-pumps'
    ].steps;
    return { ...shift, pack: put(shift.pack, ['procedures', 'set-pumps', 'steps'], [filled, ...steps]) };
  },
  Observation: at('procedures', 'set-pumps', 'observations', 'arm-follows'),
  Expression: (expression) => ({
    pack: put(base, ['procedures', 'set-pumps'], {
      title: 'Rack travel',
      readings: (base as { procedures: { 'set-pumps': Map } }).procedures['set-pumps']['readings'] ?? {},
      derived: { 'travel-now': { is: expression } },
      tolerances: { limits: { of: 'travel-now', 'at-least': '12 mm', source: 'table 7-3' } },
      steps: [
        {
          step: 'measure',
          read: ['depth-open', 'depth-shut'],
          judge: 'limits',
          'if-nonconforming': { hold: 'ask-the-lead' },
        },
      ],
    }),
    keys: ['procedures', 'set-pumps', 'derived', 'travel-now', 'is'],
  }),
  Derived: at('procedures', 'set-pumps', 'derived', 'drift'),
  Tolerance: at('procedures', 'set-pumps', 'tolerances', 'shift-limits'),
  Parking: at('procedures', 'set-pumps', 'parking'),
  Step: node('bore'),
  Tighten: inSteps('bore', (tighten) => ({ step: 'here', tighten }), 'tighten'),
  Adapter: inSteps(
    'bore',
    (adapter) => ({
      step: 'here',
      tighten: { joint: 'pump-clamp', stages: ['5.5 N·m'], with: 'torque-wrench-low', adapter },
    }),
    'tighten',
    'adapter',
  ),
  Select: inSteps(
    'bore',
    (select) => ({ step: 'here', select, 'if-nonconforming': { hold: 'ask-the-lead' } }),
    'select',
  ),
  ReferTo: inSteps('job', (to) => ({ step: 'here', 'refer-to': to }), 'refer-to'),
  Identify: inSteps(
    'bore',
    (identify) => ({ step: 'here', identify, 'if-nonconforming': { hold: 'ask-the-lead' } }),
    'identify',
  ),
  Block: node('job'),
  Each: node('job'),
  Perform: node('job'),
  Choose: node('job'),
  HoldPoint: node('job'),
  VariantCondition: inSteps('job', onlyIf, 'only-if'),
  GivenCondition: at('procedures', 'look-at-pump', 'steps', '1', 'only-if'),
  StateCondition: inSteps('bore', onlyIf, 'only-if'),
  ObservedCondition: inSteps('job', onlyIf, 'only-if'),
  LogicCondition: inSteps('job', onlyIf, 'only-if'),
  SidedOutcome: inSteps('bore', outcome, 'if-nonconforming'),
  HoldRemedy: inSteps('bore', outcome, 'if-nonconforming'),
  Rework: inSteps('bore', outcome, 'if-nonconforming'),
  Hold: at('holds', 'ask-the-lead'),
  ConcessionRelease: release,
  ReworkRelease: release,
  WitnessRelease: (example) => ({
    pack: put(
      inSteps('job', itself)({ hold: 'second-look' }).pack,
      ['holds', 'second-look', 'release', '0'],
      example,
    ),
    keys: ['holds', 'second-look', 'release', '0'],
  }),
  Trial: at('trials', 'clean'),
  Answers: trial('answers'),
  InstrumentInUse: trial('answers', 'instruments', 'fine-dial-indicator'),
  CarriedAnswer: (example) => {
    const { pack } = places['Carry']?.(definitions['Carry']?.['x-example'] ?? '') ?? { pack: base };
    const filled = put(pack, ['trials', 'clean', 'answers', 'fields'], { 'engine-serial': 'ME-000001' });
    const keys = ['trials', 'clean', 'answers', 'carried', 'rack-shift'];
    const carried = put(filled, keys.slice(0, -1), { 'rack-shift': example });
    return { pack: carried, keys };
  },
  ReleaseAnswer: (example) => ({
    pack: put(
      put(base, ['trials', 'clean', 'answers', 'readings', 'rack-shift@2'], third),
      ['trials', 'clean', 'answers', 'releases', 'ask-the-lead'],
      example,
    ),
    keys: ['trials', 'clean', 'answers', 'releases', 'ask-the-lead'],
  }),
  Placed: (example) => ({
    pack: put(put(base, ['trials', 'clean', 'placed'], example), ['trials', 'clean', 'expect'], {
      outcome: 'refused',
      refused: 'interlock',
      law: 'set-at-turning-torque',
    }),
    keys: ['trials', 'clean', 'placed'],
  }),
  TrialEvent: (example) => ({
    pack: put(base, ['trials', 'clean', 'events'], [example]),
    keys: ['trials', 'clean', 'events', '0'],
  }),
  Expectation: (example) => ({
    pack: put(
      put(base, ['trials', 'clean', 'answers', 'readings', 'rack-shift@3'], third),
      ['trials', 'clean', 'expect'],
      example,
    ),
    keys: ['trials', 'clean', 'expect'],
  }),
};

/** Every fault of the pack, resolved for every job and variant, and of its trials when it has no other. */
function faultsOf(written: Value): readonly string[] {
  const isOverlay = isMap(written) && written['overlay'] !== undefined;
  const laid = isOverlay
    ? readPackFromFiles(basePack, new Map(), new Map([['overlay.yaml', JSON.stringify(written)]]))
    : undefined;
  if (laid !== undefined && laid.diagnostics.length > 0)
    return laid.diagnostics.map((one) => `${one.code} ${one.pointer} ${one.message}`);
  const document = laid?.document ?? written;
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) return diagnostics.map((one) => `${one.code} ${one.pointer} ${one.message}`);
  const report = new Report();
  for (const procedure of Object.keys(pack.procedures).filter(
    (name) => pack.procedures[name]?.takes === undefined,
  ))
    for (const variant of Object.keys(pack.variants)) {
      const needsPlan = JSON.stringify(pack.procedures[procedure]).includes('plan.stops');
      if (needsPlan && variant === 'marram-five') continue;
      resolve(pack, { procedure, variant }, report);
    }
  const found = report.diagnostics.map((one) => `${one.code} ${one.pointer} ${one.message}`);
  if (found.length > 0) return found;
  const isTried = (document as Map)['trials'] !== (base as Map)['trials'];
  if (!isTried) return [];
  return runTrials(pack, 'sha256:none').flatMap((one) =>
    one.failures.map((failure) => `${one.trial} ${failure}`),
  );
}

/** The definitions that an author writes as a map of keys. */
const forms = Object.entries(definitions).flatMap(([name, definition]) =>
  definition['properties'] !== undefined || definition['x-example'] !== undefined ? [name] : [],
);

describe('the examples of the format', () => {
  it('start from a pack without fault, whose trial runs', () => {
    expect(faultsOf(put(base, ['trials', 'again'], (base as { trials: Map }).trials['clean'] ?? {}))).toEqual(
      [],
    );
  });

  it('are there for every form, and each has its place', () => {
    expect(forms.length).toBeGreaterThan(40);
    expect(forms.filter((name) => definitions[name]?.['x-example'] === undefined)).toEqual([]);
    expect(forms.filter((name) => places[name] === undefined)).toEqual([]);
    expect(Object.keys(places).filter((name) => !forms.includes(name))).toEqual([]);
  });

  it.each(forms)('%s fits into a whole pack', (name) => {
    const example = definitions[name]?.['x-example'] ?? '';
    const { pack } = places[name]?.(example) ?? { pack: '' };
    expect(faultsOf(pack)).toEqual([]);
  });

  it.each(forms)('%s is held against the format where it stands', (name) => {
    const example = definitions[name]?.['x-example'] ?? '';
    if (!isMap(example)) throw new Error(`the example of ${name} is no map`);
    const { pack, keys } = places[name]?.({ ...example, 'no-such-key': 'x' }) ?? { pack: '', keys: [] };
    const found = faultsOf(pack).join('\n');
    expect(found).toContain(`/${keys.join('/')}`);
  });

  it('the time since a step resolves where it is judged, as the page writes it, and a wrong one is told how', () => {
    const [, , , example] = namedForms.find(([name]) => name === 'elapsed') ?? [];
    const faultsWith = (form: Value): readonly string[] =>
      faultsOf(
        put(base, ['procedures', 'set-pumps'], {
          title: 'Rack travel',
          readings: (base as { procedures: { 'set-pumps': Map } }).procedures['set-pumps']['readings'] ?? {},
          derived: { age: { is: form } },
          tolerances: { limits: { of: 'age', 'at-most': '20 min', source: 'table 7-3' } },
          steps: [
            { step: 'measure', read: ['depth-open', 'depth-shut'] },
            { step: 'look', judge: 'limits', 'if-nonconforming': { hold: 'ask-the-lead' } },
          ],
        }),
      );
    expect(faultsWith(example ?? '')).toEqual([]);
    expect(faultsWith({ elapsed: { wrong: 'measure' } }).join('\n')).toMatch(/wrong elapsed has no wrong/);
  });

  it.each(namedForms.filter(([name]) => name !== 'elapsed'))(
    'the form %s resolves as the page writes it, and a wrong one is told how',
    (name, _takes, _gives, example) => {
      const faultsWith = (form: Value): readonly string[] =>
        faultsOf(
          put(
            base,
            ['procedures', 'set-pumps', 'steps'],
            [
              { step: 'measure', read: ['depth-open', 'depth-shut', 'oil-temperature'] },
              { each: 'bore', of: 'bores', steps: [{ step: 'set', read: ['rack-shift', 'after-clamping'] }] },
              { step: 'look', do: 'Look.', 'only-if': { logic: { '==': [form, form] } } },
            ],
          ),
        );
      expect(faultsWith(example)).toEqual([]);
      const wrong = faultsWith({ [name]: { wrong: 'depth-open' } }).join('\n');
      expect(wrong).toMatch(new RegExp(`found in ${name} .*expected .*; write ${name}: [[{] ?.*a, `));
    },
  );

  it('stand on the page as it was last generated', () => {
    expect(textAt('../../docs/format.md')).toBe(formatPage(schemaText));
  });
});
