import { describe, expect, test } from 'vitest';
import { waysOn } from '../../src/index.ts';
import { holds, length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench, lead, second } from './bench.ts';

const clamp = { clamp: { is: ['loose', 'tight'], starts: 'loose', ends: 'tight' } };
const slacken: Written = { step: 'slacken', do: 'x', changes: { clamp: ['tight', 'loose'] } };
const tighten: Written = { step: 'tighten', do: 'x', changes: { clamp: ['loose', 'tight'] } };
const rework = (more: Written = {}): Written => ({
  rework: [slacken],
  'resume-at': 'tighten',
  attempts: '3',
  exhausted: 'worn-out',
  ...more,
});
const measure = (outcome: unknown): Written => ({
  step: 'measure',
  read: 'gap',
  judge: 'fit',
  'if-nonconforming': outcome,
});
const names: Written = { readings: { gap: length() }, tolerances: { fit: limits('gap') } };
const job = (steps: readonly unknown[], sections: Written = {}, more: Written = {}): Bench =>
  new Bench(packOf({ ...names, ...more, steps }, { states: clamp, ...sections }));

describe('rework', () => {
  test('its steps are real work, and everything from resume-at on is done again', () => {
    const bench = job([tighten, measure(rework()), { step: 'after', do: 'x' }]);
    bench.done('tighten');
    bench.record('gap', '3');
    expect(bench.at).toBe('measure/if-nonconforming/slacken');
    expect(bench.cell('clamp')).toBe('tight');
    bench.done('measure/if-nonconforming/slacken');
    expect([bench.at, bench.cell('clamp'), bench.cell('gap')]).toEqual(['tighten', 'loose', 'not-recorded']);
    bench.done('tighten');
    bench.record('gap', '1.5');
    bench.done('after');
    expect(bench.verdicts).toEqual(['fit high', 'fit conforming']);
    bench.closes();
  });

  test('attempts count every judgement in this entry of the block, and the last one ends in a hold', () => {
    const bench = job([tighten, measure(rework())]);
    for (const value of ['3', '0.5']) {
      bench.done('tighten');
      bench.record('gap', value);
      bench.done('measure/if-nonconforming/slacken');
    }
    bench.done('tighten');
    bench.record('gap', '2.1');
    expect([bench.hold, bench.at]).toEqual(['worn-out', 'measure']);
    expect(bench.verdicts).toEqual(['fit high', 'fit low', 'fit high']);
    bench.release('concession', { by: lead });
    expect(bench.at).toBe('end');
    bench.closes();
  });

  test('a value that was struck is judged once more, not once too often', () => {
    const bench = job([tighten, measure(rework({ attempts: '2' }))]);
    bench.done('tighten');
    bench.record('gap', '3');
    bench.done('measure/if-nonconforming/slacken');
    bench.done('tighten');
    for (let times = 0; times < 300; times++) {
      bench.record('gap', '3');
      expect(bench.hold).toBe('worn-out');
      bench.strike('gap');
      expect([bench.hold, bench.at]).toEqual([undefined, 'measure']);
    }
    bench.record('gap', '2');
    bench.closes();
  });

  test('one attempt means none again', () => {
    const bench = job([tighten, measure(rework({ attempts: '1' }))]);
    bench.done('tighten');
    bench.record('gap', '3');
    expect(bench.hold).toBe('worn-out');
  });

  test('each side has its own remedy', () => {
    const outcome = { 'when-high': rework(), 'when-low': { hold: 'ask-the-lead' } };
    const high = job([tighten, measure(outcome)]);
    high.done('tighten');
    high.record('gap', '3');
    expect(high.at).toBe('measure/when-high/slacken');
    const low = job([tighten, measure(outcome)]);
    low.done('tighten');
    low.record('gap', '0.9');
    expect([low.at, low.hold]).toEqual(['measure', 'ask-the-lead']);
  });

  test('resuming at the step itself takes its reading again', () => {
    const bench = job([
      tighten,
      measure(rework({ rework: [{ step: 'wipe', do: 'x' }], 'resume-at': 'measure' })),
    ]);
    bench.done('tighten');
    bench.record('gap', '3');
    bench.done('measure/if-nonconforming/wipe');
    expect(bench.offered).toEqual(['record gap']);
    bench.record('gap', '2.0');
    bench.closes();
  });

  test('counters of inner blocks start anew on each entry', () => {
    const inner = {
      block: 'inner',
      steps: [
        { step: 'ready', do: 'x' },
        measure(
          rework({
            rework: [{ step: 'wipe', do: 'x' }],
            'resume-at': 'ready',
            attempts: '2',
            exhausted: 'again',
          }),
        ),
      ],
    };
    const again = {
      again: { text: 'Begin again.', release: [{ rework: [], 'resume-at': 'begin', times: '2' }] },
    };
    const bench = job([{ step: 'begin', do: 'x' }, inner, tighten], { holds: { ...holds, ...again } });
    const twice = (): void => {
      bench.done('begin');
      bench.done('inner/ready');
      bench.record('gap', '5');
      // One more try in every entry of the block, not one in all.
      bench.done('inner/measure/if-nonconforming/wipe');
      bench.done('inner/ready');
      bench.record('gap', '5');
      expect(bench.hold).toBe('again');
    };
    twice();
    bench.release('rework');
    twice();
    bench.release('rework');
    twice();
    bench.refuses({ command: 'release', by: 'rework', reason: 'x' }, 'not-offered');
  });

  test('a loop has a counter for each bore', () => {
    const readings = { gap: length({ per: 'bore' }) };
    const step = measure(
      rework({ rework: [{ step: 'wipe', do: 'x' }], 'resume-at': 'measure', attempts: '2' }),
    );
    const bench = job([{ each: 'bore', of: ['1', '2'], steps: [step] }, tighten], {}, { readings });
    for (const bore of [1, 2]) {
      bench.record(`gap@${bore}`, '3');
      bench.done(`bore=${bore}/measure/if-nonconforming/wipe`);
      bench.record(`gap@${bore}`, '1');
    }
    bench.done('tighten');
    expect(bench.verdicts).toEqual(['fit@1 high', 'fit@1 conforming', 'fit@2 high', 'fit@2 conforming']);
    bench.closes();
  });
});

describe('holds', () => {
  test('a release by rework may go back before a block around the held step', () => {
    const back = {
      back: {
        text: 'Back.',
        release: [
          { rework: [slacken], 'resume-at': 'tighten', times: '1', by: 'lead' },
          { concession: 'lead' },
        ],
      },
    };
    const bench = job(
      [tighten, { block: 'b', steps: [measure({ hold: 'back' })] }, { step: 'after', do: 'x' }],
      { holds: { ...holds, ...back } },
    );
    bench.done('tighten');
    bench.record('gap', '3');
    expect(bench.offered).toEqual(['release rework', 'release concession']);
    bench.release('rework', { by: lead });
    bench.done('b/measure/back-1/slacken');
    bench.done('tighten');
    bench.record('gap', '3');
    expect(bench.offered).toEqual(['release concession']);
    bench.release('concession', { by: lead });
    bench.done('after');
    bench.closes();
  });

  test('a hold point waits for a witness who did none of the work before it', () => {
    const point = { look: { text: 'Look.', release: [{ witness: 'lead' }] } };
    const bench = job([{ step: 'begin', do: 'x' }, tighten, { hold: 'look' }, { step: 'after', do: 'x' }], {
      holds: { ...holds, ...point },
    });
    bench.done('begin', { by: lead });
    bench.done('tighten');
    expect([bench.hold, bench.at]).toEqual(['look', 'look']);
    bench.refuses({ command: 'release', by: 'witness', reason: 'x' }, 'same-person', { by: lead });
    bench.refuses({ command: 'release', by: 'witness', reason: 'x' }, 'wrong-role', { by: second });
    bench.refuses({ command: 'release', by: 'concession', reason: 'x' }, 'no-concession', { by: lead });
  });

  test('a hold point is passed with a witness', () => {
    const point = { look: { text: 'Look.', release: [{ witness: 'lead' }] } };
    const bench = job([tighten, { hold: 'look' }, { step: 'after', do: 'x' }], {
      holds: { ...holds, ...point },
    });
    bench.done('tighten');
    bench.release('witness', { by: lead });
    expect(bench.at).toBe('after');
    bench.done('after');
    bench.closes();
  });

  test('who only judged what another one read cannot let it pass', () => {
    const bench = job(
      [
        tighten,
        { step: 'read', read: 'gap' },
        { step: 'more', read: 'play' },
        { step: 'judge', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
      ],
      {},
      { readings: { gap: length(), play: length() } },
    );
    bench.done('tighten');
    bench.record('gap', '3', { by: lead });
    bench.record('play', '1');
    expect(bench.at).toBe('judge');
    bench.refuses({ command: 'release', by: 'concession', reason: 'x' }, 'same-person', { by: lead });
  });

  test('a conceded step still has its witness', () => {
    const bench = job([tighten, { ...measure({ hold: 'ask-the-lead' }), witness: 'second' }]);
    bench.done('tighten');
    bench.record('gap', '3');
    bench.release('concession', { by: lead });
    expect(bench.offered).toEqual(['witness measure']);
    bench.does({ command: 'witness', step: 'measure' }, { by: second });
    bench.closes();
  });

  test('the facts say what was held, where and how it was released', () => {
    const bench = job([tighten, measure({ hold: 'ask-the-lead' })]);
    bench.done('tighten');
    const facts = bench.record('gap', '3');
    expect(facts.map((one) => one.kind)).toEqual(['reading', 'judged', 'held']);
    expect(facts[1]).toEqual({
      kind: 'judged',
      step: 'measure',
      of: 'fit',
      verdict: {
        verdict: 'nonconforming',
        side: 'high',
        value: '3.0 mm',
        limits: '1.0 mm to 2.0 mm',
        excess: '1.0 mm',
        exact: '3',
      },
    });
    expect(facts[2]).toEqual({ kind: 'held', hold: 'ask-the-lead', step: 'measure', text: 'Ask the lead.' });
    expect(bench.release('concession', { by: lead })).toEqual([
      {
        kind: 'released',
        hold: 'ask-the-lead',
        step: 'measure',
        by: 'concession',
        release: 0,
        reason: 'because',
      },
    ]);
  });
});

describe('a step that may be left out', () => {
  const optional = (more: Written = {}): Written => ({
    ...measure({
      rework: [{ step: 'shim', do: 'x' }],
      'resume-at': 'measure',
      attempts: '3',
      exhausted: 'worn-out',
    }),
    'not-applicable': 'technician',
    ...more,
  });
  const omit = { command: 'omit', step: 'measure', reason: 'not here' } as const;

  test('cannot be left out any more once its result did not conform', () => {
    const bench = job([optional()], { states: {} });
    expect(bench.offered).toEqual(['record gap', 'omit measure']);
    bench.record('gap', '5');
    bench.done('measure/if-nonconforming/shim');
    expect([bench.at, bench.offered]).toEqual(['measure', ['record gap']]);
    bench.refuses(omit, 'not-offered');
    expect(waysOn(bench.plan, bench.job.control).map((one) => one.signal)).toEqual(['recorded']);
    bench.record('gap', '1.5');
    bench.closes();
  });

  test('nor when the rework was that of its hold', () => {
    const back = { text: 'Back.', release: [{ rework: [], 'resume-at': 'measure', times: '1' }] };
    const bench = job([optional({ 'if-nonconforming': { hold: 'back' } })], {
      states: {},
      holds: { ...holds, back },
    });
    bench.record('gap', '5');
    bench.release('rework');
    bench.refuses(omit, 'not-offered');
  });

  test('nor once something of it is recorded, until that is struck', () => {
    const bench = job(
      [optional({ read: ['gap', 'play'] })],
      { states: {} },
      { readings: { gap: length(), play: length() } },
    );
    bench.record('gap', '1');
    expect(bench.offered).toEqual(['record play']);
    bench.refuses(omit, 'not-offered');
    bench.strike('gap');
    bench.does(omit);
    bench.closes();
  });
});
