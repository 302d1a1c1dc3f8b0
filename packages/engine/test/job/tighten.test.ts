import { describe, expect, test } from 'vitest';
import { type Fact, type InstrumentUsed, offers, Report, resolve } from '../../src/index.ts';
import { explore } from '../../src/proof/index.ts';
import { replay } from '../../src/replay.ts';
import { faultsOf, packOf, planOf, validPack, type Written } from '../small-pack.ts';
import { Bench } from './bench.ts';

const sections: Written = {
  joints: { clamp: { title: 'Clamp' }, flange: { title: 'Flange', fasteners: '4' } },
  instruments: {
    wrench: { title: 'Wrench', quantity: 'torque', range: ['8 N·m', '60 N·m'], resolution: '0.5 N·m' },
    spring: { title: 'Spring wrench', quantity: 'torque', range: ['0 N·m', '5 N·m'], resolution: '0.1 N·m' },
  },
  states: { clamp: { is: ['loose', 'tight'], starts: 'loose', ends: ['loose', 'tight'] } },
};
const readings: Written = {
  running: {
    measurand: 'Running torque of the nut',
    quantity: 'torque',
    unit: 'N·m',
    instrument: 'spring',
    plausible: ['0 N·m', '5 N·m'],
  },
};
const used = (more: Partial<InstrumentUsed> = {}): InstrumentUsed => ({
  kind: 'wrench',
  identity: 'TW-1',
  ...more,
});
const bench = (procedure: Written, instruments: readonly InstrumentUsed[] = [used()]): Bench =>
  new Bench(packOf({ readings, ...procedure }, sections), { instruments });
const tighten = (more: Written = {}): Written => ({
  joint: 'clamp',
  stages: ['20 N·m', '43 N·m'],
  with: 'wrench',
  ...more,
});
const step = (more: Written = {}): Written => ({ step: 'tighten', tighten: tighten(more) });
const offered = (job: Bench) => {
  const found = offers(job.plan, job.job);
  const done = found.offers.find((one) => one.offer === 'done');
  return { settings: done?.settings, pattern: done?.pattern, blocked: found.blocked.map((one) => one.code) };
};

describe('a wrench on the screw itself', () => {
  test('is set to the torques, in its own unit and on its own steps', () => {
    const job = bench({ steps: [step({ stages: ['20 N·m', '+ 90°', 'slacken', '30 lbf·ft'] })] });
    const settings = [
      { stage: 1, torque: '20 N·m', set: '20.0 N·m', gives: '20.0 N·m' },
      // 30 lbf·ft are 40.67 N·m; 40.5 N·m are 29.9 lbf·ft.
      { stage: 4, torque: '30 lbf·ft', set: '40.5 N·m', gives: '29.9 lbf·ft' },
    ];
    expect(offered(job)).toEqual({ settings, pattern: undefined, blocked: [] });
    expect(job.done('tighten')).toEqual([{ kind: 'done', step: 'tighten', instrument: used(), settings }]);
    job.closes();
  });

  test('that nobody has named is told of by its kind', () => {
    const job = bench({ steps: [step()] }, []);
    expect(offered(job).settings?.map((one) => one.set)).toEqual(['20.0 N·m', '43.0 N·m']);
    const [fact] = job.done('tighten');
    expect(fact).not.toHaveProperty('instrument');
  });

  test('that slackens and turns only, is set to nothing', () => {
    const job = bench({ steps: [{ step: 'loose', tighten: { joint: 'clamp', stages: ['slacken 180°'] } }] });
    expect(offered(job).settings).toBeUndefined();
    expect(job.done('loose')).toEqual([{ kind: 'done', step: 'loose' }]);
  });
});

describe('an adapter', () => {
  const adapter = { length: '45 mm' };

  test('takes the length of the wrench into the setting', () => {
    const job = bench({ steps: [step({ adapter })] }, [used({ length: '300 mm' })]);
    // 20 × 300 / 345 = 17.39, 43 × 300 / 345 = 37.39; 17.5 × 345 / 300 = 20.125.
    const shown = { length: '45 mm', angle: '0°', wrench: '300 mm' };
    const settings = [
      { stage: 1, torque: '20 N·m', set: '17.5 N·m', gives: '20.1 N·m', adapter: shown },
      { stage: 2, torque: '43 N·m', set: '37.5 N·m', gives: '43.1 N·m', adapter: shown },
    ];
    expect(offered(job).settings).toEqual(settings);
    expect(job.done('tighten')[0]).toMatchObject({ settings });
    const { job: again } = replay(job.plan, job.facts) as { job?: { facts: readonly Fact[] } };
    expect(again?.facts.at(-1)?.fact).toMatchObject({ settings });
  });

  test('square to the wrench changes nothing, and back to the grip asks for more', () => {
    const setOf = (angle: string): readonly string[] | undefined =>
      offered(
        bench({ steps: [step({ adapter: { ...adapter, angle } })] }, [used({ length: '300 mm' })]),
      ).settings?.map((one) => one.set);
    expect(setOf('90°')).toEqual(['20.0 N·m', '43.0 N·m']);
    // 20 × 300 / 255 = 23.53, 43 × 300 / 255 = 50.59
    expect(setOf('180°')).toEqual(['23.5 N·m', '50.5 N·m']);
    // 20 × 300 / 277.5 = 21.62, 43 × 300 / 277.5 = 46.49
    expect(setOf('120°')).toEqual(['21.5 N·m', '46.5 N·m']);
  });

  test('is not used before the length of the wrench is known; the same wrench may be named again with it', () => {
    const job = bench({ steps: [step({ adapter })] });
    expect(offered(job)).toEqual({ settings: undefined, pattern: undefined, blocked: ['wrench-length'] });
    job.refuses({ command: 'done', step: 'tighten' }, 'wrench-length');
    job.does({ command: 'equip', instrument: used({ length: '12 in' }) });
    // 43 × 304.8 / 349.8 = 37.47
    expect(offered(job).settings?.map((one) => one.set)).toEqual(['17.5 N·m', '37.5 N·m']);
    expect(job.does({ command: 'done', step: 'tighten', instrument: 'TW-1' })[0]).toMatchObject({
      instrument: { length: '12 in' },
    });
  });

  test('takes the length that the pack states of the kind, and that of the one in use before it', () => {
    const own = {
      ...sections,
      instruments: {
        wrench: { ...((sections['instruments'] as Written)['wrench'] as Written), length: '400 mm' },
      },
    };
    const job = new Bench(packOf({ steps: [step({ adapter })] }, own), { instruments: [used()] });
    // 43 × 400 / 445 = 38.65
    expect(offered(job).settings?.[1]?.set).toBe('38.5 N·m');
    job.does({ command: 'equip', instrument: used({ length: '300 mm' }) });
    expect(offered(job).settings?.[1]?.set).toBe('37.5 N·m');
  });

  test.each(['0 mm', '-300 mm', '3 kg', 'long', ''])('a length of "%s" is none', (length) => {
    const job = bench({ steps: [step()] });
    job.refuses({ command: 'equip', instrument: used({ length }) }, 'not-a-number');
  });

  test('that reaches back past the grip leaves no lever', () => {
    const job = bench({ steps: [step({ adapter: { length: '300 mm', angle: '180°' } })] }, [
      used({ length: '300 mm' }),
    ]);
    expect(offered(job).blocked).toEqual(['wrench-length']);
    job.refuses({ command: 'done', step: 'tighten' }, 'wrench-length');
  });

  test('decides with its setting, and not with the torque, whether the wrench reaches so far', () => {
    // 66 N·m are beyond the wrench; 66 × 300 / 345 = 57.39 are not.
    const far = bench({ steps: [step({ adapter, stages: ['66 N·m'] })] }, [used({ length: '300 mm' })]);
    expect(far.done('tighten')[0]).toMatchObject({ settings: [{ set: '57.5 N·m' }] });
    // 55 N·m are not; 55 × 300 / 255 = 64.7 are.
    const near = bench({ steps: [step({ adapter: { ...adapter, angle: '180°' }, stages: ['55 N·m'] })] }, [
      used({ length: '300 mm' }),
    ]);
    near.refuses({ command: 'done', step: 'tighten' }, 'beyond-instrument');
    // What has to be set lies beyond the end of the scale, though the next step of it does not.
    const end = bench({ steps: [step({ stages: ['57.2 N·m'] })] }, [used({ range: ['8 N·m', '57.1 N·m'] })]);
    end.refuses({ command: 'done', step: 'tighten' }, 'beyond-instrument');
  });
});

describe('a wrench whose steps are too wide', () => {
  // ISO 6789-1:2017, 5.1.5: no torque tool may be off by more than 6 %. 52 N·m in steps of 30 N·m is 60 N·m, 15 % more.
  test('is refused where the nearest is more than 6 % off, and taken where it is not', () => {
    for (const [resolution, code] of [
      ['30 N·m', 'beyond-instrument'],
      ['5 N·m', undefined],
    ] as const) {
      const job = bench({ steps: [step({ stages: ['52 N·m'] })] }, [used({ resolution })]);
      expect(offered(job).blocked).toEqual(code === undefined ? [] : [code]);
      if (code === undefined) job.done('tighten');
      else job.refuses({ command: 'done', step: 'tighten' }, code);
    }
  });
});

test('a wrench set below a fifth of its largest torque says from where on it is specified', () => {
  const large = used({ range: ['8 N·m', '450 N·m'], maximumPermissibleError: '4 % of indication' });
  const job = bench({ steps: [step({ stages: ['52 N·m'] })] }, [large]);
  expect(offered(job).settings).toMatchObject([{ set: '52.0 N·m', specifiedFrom: '90.0 N·m' }]);
  const small = used({ range: ['8 N·m', '60 N·m'], maximumPermissibleError: '4 % of indication' });
  expect(offered(bench({ steps: [step({ stages: ['52 N·m'] })] }, [small])).settings?.[0]).not.toHaveProperty(
    'specifiedFrom',
  );
});

describe('what stops a pack before it is run', () => {
  const wrong = (more: Written, instrument: Written = {}): readonly string[] => {
    const instruments = sections['instruments'] as Written;
    const wrench = { ...(instruments['wrench'] as Written), ...instrument };
    const pack = packOf({ steps: [step(more)] }, { ...sections, instruments: { ...instruments, wrench } });
    return faultsOf(pack).map((one) => `${one.code} ${one.pointer}`);
  };
  const at = 'wrong-value /procedures/main/steps/0/tighten';
  test.each<[readonly string[], readonly string[]]>([
    [wrong({ stages: ['20 N·m', '+ -90°'] }), [`${at}/stages/1`]],
    [wrong({ stages: ['-20 N·m'] }), [`${at}/stages/0`]],
    [wrong({ adapter: { length: '-50 mm' } }, { length: '300 mm' }), [`${at}/adapter/length`]],
    [wrong({}, { resolution: '-0.5 N·m' }), ['wrong-value /instruments/wrench/resolution']],
    [wrong({}), []],
  ])('%j', (found, expected) => {
    expect(found).toEqual(expected);
  });
});

describe('a running torque', () => {
  const steps = (more: Written = {}): readonly Written[] => [
    { step: 'feel', read: 'running' },
    { step: 'between', do: 'x' },
    { ...step({ 'running-torque': 'running' }), ...more },
    { step: 'last', do: 'x' },
  ];

  test('is added to each torque, and to what reaches the screw', () => {
    const job = bench({ steps: steps() });
    job.record('running', '2.3');
    job.done('between');
    expect(job.done('tighten')[0]).toMatchObject({
      settings: [
        { torque: '20 N·m', set: '22.5 N·m', gives: '22.5 N·m', running: '2.3 N·m' },
        { torque: '43 N·m', set: '45.5 N·m', gives: '45.5 N·m', running: '2.3 N·m' },
      ],
    });
  });

  test('beyond the scale is no number to be added: it is not taken, and where it was nothing is set by it', () => {
    const further = { running: { ...(readings['running'] as Written), plausible: ['0 N·m', '8 N·m'] } };
    const job = bench({ readings: further, steps: steps() });
    job.refuses({ command: 'record', entry: 'running', value: '> 5' }, 'beyond-scale');
    job.record('running', '5');
    job.done('between');
    const kept = job.job.taken.map((one) => one && { ...one, beyond: 'above' as const });
    const found = offers(job.plan, { ...job.job, taken: kept });
    expect(found.blocked.map((one) => one.code)).toEqual(['beyond-scale']);
    expect(found.offers.find((one) => one.offer === 'done')?.settings).toBeUndefined();
  });

  test('below zero is none, and is not plausible in a pack', () => {
    const below = { running: { ...(readings['running'] as Written), plausible: ['-5 N·m', '5 N·m'] } };
    expect(faultsOf(packOf({ readings: below, steps: steps() }, sections))).toMatchObject([
      { code: 'wrong-value', pointer: '/procedures/main/readings/running/plausible/0' },
    ]);
  });

  test('is added before an adapter shortens what is set', () => {
    const job = bench(
      { steps: [steps()[0] ?? {}, step({ 'running-torque': 'running', adapter: { length: '45 mm' } })] },
      [used({ length: '300 mm' })],
    );
    job.record('running', '3');
    // (43 + 3) × 300 / 345 = 40
    expect(offered(job).settings?.[1]).toMatchObject({ set: '40.0 N·m', gives: '46.0 N·m' });
  });

  test('that was struck before is taken again first', () => {
    const job = bench({ steps: steps() });
    job.record('running', '2.3');
    job.strike('running');
    expect(job.at).toBe('feel');
    job.record('running', '1');
    job.done('between');
    expect(job.at).toBe('tighten');
    expect(offered(job).settings?.[0]?.set).toBe('21.0 N·m');
  });

  test('that is struck afterwards opens the work that was done by it', () => {
    const job = bench({ steps: steps() });
    job.record('running', '2.3');
    job.done('between');
    job.done('tighten');
    expect(job.at).toBe('last');
    job.strike('running');
    expect(job.at).toBe('feel');
    job.record('running', '4');
    expect(job.at).toBe('tighten');
    expect(job.done('tighten')[0]).toMatchObject({ settings: [{ set: '24.0 N·m' }, { set: '47.0 N·m' }] });
    job.done('last');
    job.closes();
  });

  test('opens also what was read after that work', () => {
    const more = { gap: { measurand: 'Gap', quantity: 'length', unit: 'mm', plausible: ['0 mm', '9 mm'] } };
    const job = bench({
      readings: { ...readings, ...more },
      tolerances: { fit: { of: 'gap', 'at-most': '5 mm', source: 'invented' } },
      steps: [
        ...steps({ read: 'gap' }).slice(0, 3),
        { step: 'judge', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
        { step: 'last', do: 'x' },
      ],
    });
    job.record('running', '2.3');
    job.done('between');
    job.done('tighten');
    job.record('gap', '4');
    expect(job.at).toBe('last');
    job.strike('running');
    job.record('running', '4');
    job.done('tighten');
    expect(job.offered).toEqual(['record gap']);
    job.record('gap', '6');
    expect(job.hold).toBe('ask-the-lead');
  });

  test('that is struck when the work by it has changed the engine needs a way back', () => {
    const job = bench({ steps: steps({ changes: { clamp: ['loose', 'tight'] } }) });
    job.record('running', '2.3');
    job.done('between');
    job.done('tighten');
    job.refuses({ command: 'strike', target: job.seqOf('running'), reason: 'x' }, 'no-way-back');

    const undo = {
      step: 'undo',
      tighten: { joint: 'clamp', stages: ['slacken'] },
      changes: { clamp: ['tight', 'loose'] },
    };
    const [feel = {}, ...others] = steps({ changes: { clamp: ['loose', 'tight'] } });
    const way = { rework: [undo], 'resume-at': 'feel', attempts: '3', exhausted: 'again' };
    const holds = { again: { text: 'Again.', release: [{ rework: [], 'resume-at': 'feel', times: '1' }] } };
    const back = bench({ holds, steps: [{ ...feel, 'if-struck': way }, ...others] });
    back.record('running', '2.3');
    back.done('between');
    back.done('tighten');
    back.strike('running');
    back.done('feel/if-struck/undo');
    expect(back.at).toBe('feel');
    back.record('running', '1');
    back.done('between');
    expect(back.done('tighten')[0]).toMatchObject({ settings: [{ set: '21.0 N·m' }, { set: '44.0 N·m' }] });
  });

  test('that was disturbed blocks the work, and the proof says so', () => {
    const document = packOf(
      {
        readings,
        steps: [
          { step: 'feel', read: 'running' },
          { step: 'grease', do: 'Grease the thread.', disturbs: 'running' },
          step({ 'running-torque': 'running' }),
        ],
      },
      sections,
    );
    const job = new Bench(document, { instruments: [used()] });
    job.record('running', '2.3');
    job.done('grease');
    job.refuses({ command: 'done', step: 'tighten' }, 'requirement');
    expect(offers(job.plan, job.job).blocked[0]?.message).toContain('running has to be taken before');
    const { refutations, reachesEnd } = explore(job.plan);
    expect(reachesEnd).toBe(false);
    expect(refutations).toMatchObject([{ property: 'law', node: 'tighten' }]);
  });

  test('in order, the proof finds nothing to say', () => {
    const { refutations, reachesEnd } = explore(planOf(packOf({ readings, steps: steps() }, sections)));
    expect([refutations, reachesEnd]).toEqual([[], true]);
  });

  test('that is judged later is relied on unjudged', () => {
    const tolerances = { fit: { of: 'running', 'at-least': '0.5 N·m', source: 'invented' } };
    const judge = { step: 'judge', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } };
    const [feel = {}, , work = {}] = steps();
    const late = explore(planOf(packOf({ readings, tolerances, steps: [feel, work, judge] }, sections)));
    expect(late.refutations).toMatchObject([{ property: 'judged', node: 'tighten' }]);
    const inTime = explore(planOf(packOf({ readings, tolerances, steps: [feel, judge, work] }, sections)));
    expect(inTime.refutations).toEqual([]);
  });

  test('that no step takes before, that is no torque, or no reading, is an error', () => {
    const codes = (procedure: Written): readonly string[] => {
      const report = new Report();
      resolve(validPack(packOf(procedure, sections)), { procedure: 'main', variant: 'small' }, report);
      return report.diagnostics.map((one) => `${one.code} ${one.pointer.split('/').slice(5).join('/')}`);
    };
    const work = (of: string) => step({ 'running-torque': of });
    expect(codes({ readings, steps: [work('running'), { step: 'feel', read: 'running' }] })).toEqual([
      'never-taken tighten/running-torque',
    ]);
    expect(codes({ readings, steps: [work('runing')] })).toEqual(['unknown-name tighten/running-torque']);
    const gap = { gap: { measurand: 'Gap', quantity: 'length', unit: 'mm', plausible: ['0 mm', '9 mm'] } };
    expect(codes({ readings: gap, steps: [{ step: 'r', read: 'gap' }, work('gap')] })).toEqual([
      'wrong-quantity tighten/running-torque',
    ]);
    const twice = { twice: { is: { '*': [{ var: 'running' }, 2] } } };
    expect(
      codes({ readings, derived: twice, steps: [{ step: 'r', read: 'running' }, work('twice')] }),
    ).toContain('wrong-form tighten/running-torque');
  });

  test('of a bore is that of the bore', () => {
    const per = { running: { ...(readings['running'] as Written), per: 'bore' } };
    const job = bench({
      readings: per,
      steps: [
        { each: 'bore', of: 'bores', id: 'feel-all', steps: [{ step: 'feel', read: 'running' }] },
        { each: 'bore', of: 'bores', id: 'tighten-all', steps: [step({ 'running-torque': 'running' })] },
      ],
    });
    for (const [bore, value] of ['1', '2', '3'].entries()) job.record(`running@${bore + 1}`, value);
    const sets = [1, 2, 3].map((bore) => {
      const { settings } = offered(job);
      job.done(`tighten-all.bore=${bore}/tighten`);
      return settings?.[0]?.set;
    });
    expect(sets).toEqual(['21.0 N·m', '22.0 N·m', '23.0 N·m']);
  });
});

test('a pattern is offered as it is written, and said', () => {
  const job = bench({ steps: [step({ joint: 'flange', pattern: ['1', '3', '2', '4'] })] });
  expect(offered(job).pattern).toEqual([1, 3, 2, 4]);
  expect(offers(job.plan, job.job).step?.says ?? offers(job.plan, job.job).step?.title).toBe(
    'Tighten to 20 N·m, then tighten to 43 N·m: flange. In the order 1, 3, 2, 4, each stage over all of them before the next.',
  );
});

test('what the author says of a joint is not said again', () => {
  const says = (act: Written): string | undefined => {
    const { plan, job } = bench({ steps: [{ ...step(act), do: 'Tighten the flange crosswise.' }] });
    const offered = offers(plan, job).step;
    return offered?.says ?? offered?.title;
  };
  expect(says({})).toBe('Tighten the flange crosswise. Tighten to 20 N·m, then tighten to 43 N·m.');
  expect(says({ stages: ['slacken'] })).toBe('Tighten the flange crosswise.');
  expect(says({ stages: ['slacken 180°'] })).toBe('Tighten the flange crosswise. Slacken by 180°.');
});
