import { describe, expect, test } from 'vitest';
import { strikes } from '../../src/index.ts';
import { holds, length, limits, packOf, planOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const step = (id: string, more: Written = {}): Written => ({ step: id, do: 'x', ...more });
const states = {
  cover: { is: ['on', 'off'], starts: 'on', ends: ['on', 'off'] },
  clamp: { is: ['loose', 'tight'], starts: 'loose', ends: ['loose', 'tight'] },
};
const names: Written = {
  readings: { gap: length(), bare: length({ requires: { cover: 'off' } }) },
  tolerances: { fit: limits('gap'), 'bare-fit': limits('bare') },
};
const backHolds: Written = {
  back: {
    text: 'Back.',
    release: [
      { rework: [step('undo', { changes: { cover: ['on', 'off'] } })], 'resume-at': 'measure', times: '2' },
    ],
  },
  safe: {
    text: 'Safe.',
    safety: 'yes',
    release: [
      { rework: [step('undo', { changes: { cover: ['on', 'off'] } })], 'resume-at': 'uncover', times: '2' },
    ],
  },
};
const remedy = { hold: 'ask-the-lead' };
const measure: Written = { step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': remedy };
const uncover = step('uncover', { changes: { cover: ['on', 'off'] } });
const closeUp = step('close-up', { changes: { cover: ['off', 'on'] } });
const job = (steps: readonly unknown[], more: Written = {}): Bench =>
  new Bench(packOf({ ...names, ...more, steps }, { states, holds: { ...holds, ...backHolds } }));

describe('a reading', () => {
  test('within the open step it is taken again', () => {
    const bench = job([{ step: 'both', read: ['gap', 'bare'], requires: { cover: 'on' } }, step('last')], {
      readings: { gap: length(), bare: length() },
      tolerances: {},
    });
    bench.record('gap', '1');
    bench.strike('gap');
    expect(bench.offered).toEqual(['record gap', 'record bare']);
    bench.record('bare', '1');
    expect(bench.offered).toEqual(['record gap']);
    bench.record('gap', '2');
    bench.done('last');
    bench.closes();
  });

  test('of an earlier step takes the job back, and then on to where it stood', () => {
    const bench = job([measure, step('one'), step('two'), step('three')]);
    bench.record('gap', '1.5');
    bench.done('one');
    bench.done('two');
    const struck = bench.seqOf('gap');
    bench.strike('gap');
    expect([bench.at, bench.cell('gap')]).toEqual(['measure', 'not-recorded']);
    bench.refuses({ command: 'done', step: 'three' }, 'not-offered');
    bench.record('gap', '1.6');
    expect(bench.at).toBe('three');
    bench.done('three');
    expect(bench.verdicts).toEqual(['fit conforming', 'fit conforming']);
    // What was struck stays to be seen, with who struck it and why.
    expect(bench.facts.find((one) => one.seq === struck)?.fact).toMatchObject({
      kind: 'reading',
      digits: '1.5',
    });
    expect(bench.facts.map((one) => one.fact)).toContainEqual({
      kind: 'struck',
      target: struck,
      entry: 'gap',
      step: 'measure',
      reason: 'misread',
    });
    bench.closes();
  });

  test('judged in another step is judged there again, and only there', () => {
    const bench = job([
      { step: 'read', read: 'gap' },
      {
        block: 'b',
        steps: [step('one'), { step: 'judge', judge: 'fit', 'if-nonconforming': remedy }, step('two')],
      },
      step('three'),
    ]);
    bench.record('gap', '1');
    bench.done('b/one');
    bench.done('b/two');
    bench.strike('gap');
    expect(bench.at).toBe('read');
    const facts = bench.record('gap', '2.1');
    expect(facts.map((one) => one.kind)).toEqual(['reading', 'judged', 'held']);
    expect([bench.at, bench.hold]).toEqual(['b/judge', 'ask-the-lead']);
    bench.release('concession', { by: lead });
    expect(bench.at).toBe('three');
    bench.done('three');
    bench.closes();
  });

  test('taken a second time opens what was judged since, not what was judged before', () => {
    const judge = (id: string): Written => ({ step: id, judge: 'fit', 'if-nonconforming': remedy });
    const bench = job([
      { step: 'r1', read: 'gap' },
      judge('j1'),
      step('m'),
      { step: 'r2', do: 'x', read: 'gap' },
      judge('j2'),
      step('last'),
    ]);
    bench.record('gap', '1');
    bench.done('m');
    bench.done('r2');
    bench.record('gap', '2');
    bench.strike('gap');
    expect(bench.at).toBe('r2');
    bench.record('gap', '1.5');
    expect(bench.verdicts).toEqual(['fit conforming', 'fit conforming', 'fit conforming']);
    expect(bench.job.control.bytes.at(bench.plan.cells.length + 2)).toBe(10);
    bench.done('last');
    bench.closes();
  });

  test('that led to a hold takes the hold with it', () => {
    const bench = job([measure, step('last')]);
    bench.record('gap', '5');
    expect(bench.hold).toBe('ask-the-lead');
    bench.strike('gap');
    expect([bench.hold, bench.at]).toEqual([undefined, 'measure']);
    bench.record('gap', '1');
    expect(bench.at).toBe('last');
    bench.done('last');
    bench.closes();
  });

  test('that led to a hold in another step takes it with it too', () => {
    const bench = job([
      { step: 'read', read: 'gap' },
      step('between'),
      { step: 'judge', judge: 'fit', 'if-nonconforming': remedy },
    ]);
    bench.record('gap', '5');
    bench.done('between');
    expect([bench.hold, bench.at]).toEqual(['ask-the-lead', 'judge']);
    bench.strike('gap');
    expect([bench.hold, bench.at]).toEqual([undefined, 'read']);
    bench.record('gap', '2');
    expect(bench.at).toBe('end');
    bench.closes();
  });

  test('that did not lead to the open hold waits until it is released', () => {
    const bench = job([{ step: 'other', read: 'bare' }, measure], {
      readings: { gap: length(), bare: length() },
      tolerances: { fit: limits('gap') },
    });
    bench.record('bare', '1');
    bench.record('gap', '5');
    bench.refuses({ command: 'strike', target: bench.seqOf('bare'), reason: 'x' }, 'nothing-to-strike');
    bench.release('concession', { by: lead });
    bench.strike('bare');
    expect(bench.at).toBe('other');
  });

  test('that was conceded is conceded no more', () => {
    const bench = job([measure, step('last')]);
    bench.record('gap', '5');
    bench.release('concession', { by: lead });
    bench.strike('gap');
    bench.record('gap', '5');
    expect(bench.hold).toBe('ask-the-lead');
  });

  test('opens a witnessed step to its witness again', () => {
    const bench = job([{ ...measure, witness: 'lead' }, step('last')]);
    bench.record('gap', '1');
    bench.does({ command: 'witness', step: 'measure' }, { by: lead });
    bench.strike('gap');
    bench.record('gap', '1');
    expect(bench.offered).toEqual(['witness measure']);
  });
});

test('a later entry that is struck as well waits for the earlier one', () => {
  const bench = job([measure, { step: 'other', read: 'bare' }, step('last')], {
    readings: { gap: length(), bare: length() },
    tolerances: { fit: limits('gap') },
  });
  bench.record('gap', '1');
  bench.record('bare', '1');
  bench.strike('gap');
  bench.strike('bare');
  expect(bench.at).toBe('measure');
  bench.record('gap', '1');
  expect(bench.at).toBe('other');
  bench.record('bare', '1');
  expect(bench.at).toBe('last');
});

describe('inside a rework', () => {
  const rework = (body: readonly unknown[], resume: string): Written => ({
    rework: body,
    'resume-at': resume,
    attempts: '5',
    exhausted: 'worn-out',
  });

  test('what the rework will do again anyway is left to it', () => {
    const bench = job([
      step('begin'),
      { ...measure, 'if-nonconforming': rework([step('r1'), step('r2')], 'begin') },
    ]);
    bench.done('begin');
    bench.record('gap', '5');
    bench.done('measure/if-nonconforming/r1');
    bench.strike('gap');
    expect(bench.at).toBe('measure/if-nonconforming/r2');
    bench.done('measure/if-nonconforming/r2');
    bench.done('begin');
    bench.record('gap', '1');
    bench.closes();
  });

  test('what it will not do again is taken first, and the rework is then gone on with', () => {
    const bench = job([
      { step: 'read', read: 'gap' },
      { step: 'judge', judge: 'fit', 'if-nonconforming': rework([step('r1'), step('r2')], 'judge') },
    ]);
    bench.record('gap', '5');
    bench.done('judge/if-nonconforming/r1');
    bench.strike('gap');
    expect(bench.at).toBe('read');
    bench.record('gap', '1');
    expect(bench.at).toBe('judge/if-nonconforming/r2');
    bench.done('judge/if-nonconforming/r2');
    expect(bench.verdicts).toEqual(['fit high', 'fit conforming']);
    bench.closes();
  });

  test('what a later step of the rework needs is taken first', () => {
    const more = {
      readings: { gap: length(), play: length() },
      tolerances: { fit: limits('gap'), 'play-fit': limits('play') },
    };
    const body = [step('r1'), { step: 'r2', judge: 'play-fit', 'if-nonconforming': remedy }];
    const bench = job(
      [
        { step: 'play', read: 'play' },
        { ...measure, 'if-nonconforming': rework(body, 'play') },
      ],
      more,
    );
    bench.record('play', '1');
    bench.record('gap', '5');
    expect(bench.at).toBe('measure/if-nonconforming/r1');
    bench.strike('play');
    expect(bench.at).toBe('play');
    bench.record('play', '1.5');
    expect(bench.at).toBe('measure/if-nonconforming/r1');
    bench.done('measure/if-nonconforming/r1');
    expect(bench.at).toBe('play');
    bench.record('play', '1.5');
    bench.record('gap', '1.5');
    bench.closes();
  });

  test('the rework of a hold point that was begun is gone on with', () => {
    const look = {
      look: {
        text: 'Look.',
        release: [{ rework: [step('r1'), step('r2')], 'resume-at': 'two', times: '1' }, { witness: 'lead' }],
      },
    };
    const document = packOf(
      { ...names, steps: [{ step: 'one', read: 'gap' }, step('two'), { hold: 'look' }] },
      { states, holds: { ...holds, ...look } },
    );
    const bench = new Bench(document);
    bench.record('gap', '1');
    bench.done('two');
    bench.release('rework');
    bench.done('look/look-1/r1');
    bench.strike('gap');
    expect(bench.at).toBe('one');
    bench.record('gap', '2');
    expect(bench.at).toBe('look/look-1/r2');
    bench.done('look/look-1/r2');
    bench.done('two');
    bench.release('witness', { by: lead });
    bench.closes();
  });
});

describe('when the states do not let it be taken again', () => {
  const bare = (more: Written): Written => ({
    step: 'measure',
    read: 'bare',
    judge: 'bare-fit',
    'if-nonconforming': remedy,
    ...more,
  });
  const upTo = (more: Written): Bench => {
    const bench = job([uncover, bare(more), closeUp, step('last')]);
    bench.done('uncover');
    bench.record('bare', '1.5');
    bench.done('close-up');
    expect(bench.at).toBe('last');
    return bench;
  };

  test('a rework for that undoes what is in the way, and all that follows is done again', () => {
    const rework = {
      rework: [step('open-again', { changes: { cover: ['on', 'off'] } })],
      'resume-at': 'measure',
      attempts: '2',
      exhausted: 'safe',
    };
    const bench = upTo({ 'if-struck': rework });
    bench.strike('bare');
    expect(bench.at).toBe('measure/if-struck/open-again');
    bench.done('measure/if-struck/open-again');
    bench.record('bare', '1.6');
    bench.done('close-up');
    // Once more than it may be.
    bench.strike('bare');
    expect(bench.hold).toBe('safe');
    bench.refuses({ command: 'release', by: 'concession', reason: 'x' }, 'no-concession', { by: lead });
  });

  test('a hold for that is released by rework', () => {
    const bench = upTo({ 'if-struck': { hold: 'back' } });
    bench.strike('bare');
    expect([bench.hold, bench.at]).toEqual(['back', 'measure']);
    bench.release('rework');
    bench.done('measure/back-1/undo');
    bench.record('bare', '1.5');
    bench.done('close-up');
    bench.done('last');
    bench.closes();
  });

  test('is not begun for work that was struck, which is done again in its place or not at all', () => {
    const acted = { do: 'Lift it.', requires: { cover: 'off' }, 'if-struck': { hold: 'back' } };
    const inPlace = job([uncover, bare(acted), step('last'), closeUp]);
    inPlace.done('uncover');
    inPlace.done('measure');
    inPlace.record('bare', '1.5');
    inPlace.strike('measure');
    expect([inPlace.at, inPlace.offered, inPlace.cell('bare')]).toEqual([
      'measure',
      ['done measure'],
      'not-recorded',
    ]);

    const closed = job([uncover, bare(acted), closeUp, step('last')]);
    closed.done('uncover');
    closed.done('measure');
    closed.record('bare', '1.5');
    closed.done('close-up');
    closed.strikeAllTheSame('measure');
    expect(closed.hold).toBe('struck-entry');
  });

  test('nor is work struck whose reading could not be taken again', () => {
    const bench = job([uncover, bare({ do: 'Lift it.' }), closeUp, step('last')]);
    bench.done('uncover');
    bench.done('measure');
    bench.record('bare', '1.5');
    bench.done('close-up');
    // The work itself could be done now; its reading needs the cover off.
    bench.strikeAllTheSame('measure');
    expect(bench.hold).toBe('struck-entry');
  });

  test('without a remedy nothing is left but to close the job as unfinished', () => {
    const bench = upTo({});
    bench.strikeAllTheSame('bare');
    expect(bench.hold).toBe('struck-entry');
    expect(bench.offered).toEqual([]);
    for (const by of ['concession', 'rework', 'witness'] as const)
      bench.refuses(
        { command: 'release', by, reason: 'x' },
        by === 'concession' ? 'no-concession' : 'not-offered',
        { by: lead },
      );
    bench.refuses({ command: 'close' }, 'not-offered');
    bench.refuses({ command: 'record', entry: 'bare', value: '1.5' }, 'not-offered');
    bench.does({ command: 'abandon', reason: 'No way back.' });
    bench.replays();
  });
});

test('a concession never stands for a reading that is not there, whatever a plan says', () => {
  const back = {
    steps: [uncover, { ...measure, read: 'bare', judge: 'bare-fit', 'if-struck': { hold: 'back' } }, closeUp],
  };
  const plan = planOf(packOf({ ...names, ...back }, { states, holds: { ...holds, ...backHolds } }));
  const lenient = plan.holds.map((hold) => ({
    ...hold,
    releases: [...hold.releases, { by: 'concession', role: 'lead' } as const],
  }));
  const bench = new Bench({ ...plan, holds: lenient });
  bench.done('uncover');
  bench.record('bare', '1');
  bench.done('close-up');
  bench.strike('bare');
  expect([bench.hold, bench.offered]).toEqual(['back', ['release rework']]);
  bench.refuses({ command: 'release', by: 'concession', reason: 'x' }, 'no-concession', { by: lead });
});

describe('an act', () => {
  test('that is struck is done again, with its entries and what was judged by them', () => {
    const bench = job([
      step('set', { read: 'gap' }),
      { step: 'judge', judge: 'fit', 'if-nonconforming': remedy },
      step('last'),
    ]);
    bench.done('set');
    bench.record('gap', '1');
    bench.strike('set');
    expect([bench.at, bench.offered]).toEqual(['set', ['done set']]);
    expect(bench.cell('gap')).toBe('not-recorded');
    bench.done('set');
    bench.record('gap', '5');
    expect([bench.hold, bench.at]).toEqual(['ask-the-lead', 'judge']);
    expect(bench.verdicts).toEqual(['fit conforming', 'fit high']);
  });

  test('that changed no state and needs one that is gone leads to the built-in hold', () => {
    const bench = job([uncover, step('wipe', { requires: { cover: 'off' } }), closeUp, step('last')]);
    bench.done('uncover');
    bench.done('wipe');
    bench.done('close-up');
    bench.strikeAllTheSame('wipe');
    expect(bench.hold).toBe('struck-entry');
  });
});

describe('a serial number', () => {
  const parts = {
    pump: { title: 'Pump', per: 'bore', identity: '"MU"-9' },
    nozzle: { title: 'Nozzle', per: 'bore', identity: '"NZ"-9', 'matched-with': ['pump'] },
  };
  const found = { step: 'found', identify: { part: 'pump', as: 'found' } };
  const fitted = (more: Written = {}): Written => ({
    step: 'fitted',
    identify: { part: 'pump', as: 'fitted', ...more },
    'if-nonconforming': remedy,
  });
  const bores = (...steps: readonly unknown[]): Bench =>
    new Bench(
      packOf(
        {
          steps: [
            { each: 'bore', of: ['1', '2'], steps: steps.slice(0, 1) },
            { each: 'bore', of: ['1', '2'], id: 'fit', steps: steps.slice(1) },
          ],
        },
        { parts },
      ),
    );

  test('own, other and new parts', () => {
    const bench = bores(found, fitted());
    bench.record('pump@1.found', 'MU-1');
    bench.record('pump@2.found', 'MU-2');
    expect(bench.record('pump@1.fitted', 'MU-1')[0]).toMatchObject({ part: 'own' });
    expect(bench.cell('pump@1')).toBe('own');
    bench.does({ command: 'record', entry: 'pump@2.fitted', value: 'MU-9', insist: true });
    expect([bench.cell('pump@2'), bench.hold]).toEqual(['renewed', 'ask-the-lead']);
    bench.strike('pump@2.fitted');
    expect([bench.cell('pump@2'), bench.hold]).toEqual(['found', undefined]);
    bench.record('pump@2.fitted', 'MU-2');
    bench.closes();
  });

  test('of another bore, conceded, leaves a part where it must not be at the end', () => {
    const bench = bores(found, fitted());
    bench.record('pump@1.found', 'MU-1');
    bench.record('pump@2.found', 'MU-2');
    bench.does({ command: 'record', entry: 'pump@1.fitted', value: 'MU-2', insist: true });
    expect(bench.cell('pump@1')).toBe('other');
    bench.release('concession', { by: lead });
    bench.does({ command: 'record', entry: 'pump@2.fitted', value: 'MU-1', insist: true });
    bench.release('concession', { by: lead });
    bench.refuses({ command: 'close' }, 'requirement');
  });

  test('found, and struck after the part was fitted: both are to be read again', () => {
    const bench = bores(found, fitted(), step('last'));
    bench.record('pump@1.found', 'MU-1');
    bench.record('pump@2.found', 'MU-2');
    bench.record('pump@1.fitted', 'MU-1');
    expect(bench.at).toBe('fit.bore=1/last');
    bench.strike('pump@1.found');
    expect([bench.at, bench.cell('pump@1'), bench.cell('pump@1.fitted')]).toEqual([
      'bore=1/found',
      'unknown',
      'not-recorded',
    ]);
    bench.record('pump@1.found', 'MU-3');
    expect(bench.offered).toEqual(['record pump@1.fitted']);
    bench.refuses({ command: 'record', entry: 'pump@1.fitted', value: 'MU-1' }, 'unexpected-identity');
    bench.record('pump@1.fitted', 'MU-3');
    expect(bench.at).toBe('fit.bore=1/last');
    expect(bench.verdicts).toEqual(['pump@1.fitted conforming', 'pump@1.fitted conforming']);
  });

  test('found wrongly, seen at the hold that it led to', () => {
    const bench = bores(found, fitted());
    bench.record('pump@1.found', 'MU-7');
    bench.record('pump@2.found', 'MU-2');
    bench.does({ command: 'record', entry: 'pump@1.fitted', value: 'MU-1', insist: true });
    expect(bench.hold).toBe('ask-the-lead');
    bench.strike('pump@1.found');
    expect([bench.hold, bench.at]).toEqual([undefined, 'bore=1/found']);
    bench.record('pump@1.found', 'MU-1');
    bench.record('pump@1.fitted', 'MU-1');
    bench.record('pump@2.fitted', 'MU-2');
    bench.closes();
  });

  const set = (pump: string, nozzle: string, insist = false): Bench => {
    const identify = (part: string, as: string, more: Written = {}) => ({
      step: `${part}-${as}`,
      identify: { part, as, ...more },
    });
    const accept = { 'accept-new': 'yes' };
    const bench = new Bench(
      packOf(
        {
          steps: [
            {
              each: 'bore',
              of: ['1'],
              steps: [
                identify('pump', 'found'),
                identify('nozzle', 'found'),
                { ...identify('pump', 'fitted', accept), 'if-nonconforming': remedy },
                { ...identify('nozzle', 'fitted', accept), 'if-nonconforming': remedy },
              ],
            },
          ],
        },
        { parts: { ...parts, pump: { ...parts.pump, 'matched-with': ['nozzle'] } } },
      ),
    );
    bench.record('pump@1.found', 'MU-1');
    bench.record('nozzle@1.found', 'NZ-1');
    bench.does({ command: 'record', entry: 'pump@1.fitted', value: pump, insist });
    bench.does({ command: 'record', entry: 'nozzle@1.fitted', value: nozzle, insist });
    return bench;
  };

  test.each([
    ['MU-1', 'NZ-1', undefined],
    ['MU-2', 'NZ-2', undefined],
    ['MU-1', 'NZ-2', 'ask-the-lead'],
    ['MU-2', 'NZ-1', 'ask-the-lead'],
  ])('a matched set goes home together or is new together: %s with %s', (pump, nozzle, hold) => {
    const bench = set(pump, nozzle);
    expect(bench.hold).toBe(hold);
    if (hold === undefined) bench.closes();
  });
});

describe('readings that a step disturbs', () => {
  test('are stale, and have to be taken again before the end', () => {
    const stale = [
      measure,
      step('knock', { disturbs: 'gap', 'not-applicable': 'lead' }),
      { ...measure, step: 'again', 'not-applicable': 'lead' },
    ];
    const bench = job(stale);
    bench.record('gap', '1');
    bench.done('knock');
    expect(bench.cell('gap')).toBe('stale');
    bench.does({ command: 'omit', step: 'again', reason: 'x' }, { by: lead });
    bench.refuses({ command: 'close' }, 'requirement');
    expect(bench.job.control.closed).toBeUndefined();

    const good = job(stale);
    good.record('gap', '1');
    good.done('knock');
    expect(good.offered).toEqual(['record gap', 'omit again']);
    good.record('gap', '1');
    good.closes();
  });

  const twice = [
    { step: 'first', read: 'gap', 'not-applicable': 'lead' },
    step('knock', { disturbs: 'gap', 'not-applicable': 'lead' }),
    { step: 'again', read: 'gap', 'not-applicable': 'lead' },
  ];

  test('are missing at the end when what was taken again is struck, and its step then left out', () => {
    const bench = job(twice);
    bench.record('gap', '1');
    bench.done('knock');
    bench.record('gap', '1');
    bench.strike('gap');
    bench.does({ command: 'omit', step: 'again', reason: 'x' }, { by: lead });
    expect(bench.cell('gap')).toBe('not-recorded');
    bench.refuses({ command: 'close' }, 'requirement');
    expect(bench.job.control.closed).toBeUndefined();
  });

  test('are missing at the end when they are struck while they are stale, and both steps are left out', () => {
    const bench = job(twice);
    bench.record('gap', '1');
    bench.done('knock');
    bench.strike('gap');
    bench.does({ command: 'omit', step: 'first', reason: 'x' }, { by: lead });
    bench.does({ command: 'omit', step: 'again', reason: 'x' }, { by: lead });
    bench.refuses({ command: 'close' }, 'requirement');
  });

  test('are not asked for where they were never taken, or where nothing disturbed them', () => {
    const never = job(twice);
    never.does({ command: 'omit', step: 'first', reason: 'x' }, { by: lead });
    never.done('knock');
    never.does({ command: 'omit', step: 'again', reason: 'x' }, { by: lead });
    never.closes();

    const alone = job(twice);
    alone.record('gap', '1');
    alone.does({ command: 'omit', step: 'knock', reason: 'x' }, { by: lead });
    alone.record('gap', '1');
    alone.strike('gap');
    alone.does({ command: 'omit', step: 'again', reason: 'x' }, { by: lead });
    alone.closes();
  });

  test('cannot be judged while they are stale', () => {
    const bench = job([
      { step: 'read', read: 'gap' },
      step('knock', { disturbs: 'gap' }),
      { step: 'judge', judge: 'fit', 'if-nonconforming': remedy },
    ]);
    bench.record('gap', '1');
    bench.done('knock');
    expect([bench.at, bench.offered, bench.verdicts]).toEqual(['judge', [], []]);
    bench.strike('gap');
    bench.record('gap', '1');
    expect(bench.verdicts).toEqual(['fit conforming']);
    bench.closes();
  });
});

describe('the step that took what is struck is the one that takes it again', () => {
  const again = (more: Written): Written => ({ step: 'again', read: 'gap', ...more });
  const look = { look: { text: 't', answers: { yes: 'Y', no: 'N' } } };
  const takers = (bench: Bench): readonly string[] =>
    strikes(bench.plan, bench.job.control).flatMap((one) =>
      one.signal === 'struck' && bench.plan.entries[one.entry]?.name === 'gap'
        ? (bench.plan.nodes[one.node]?.path ?? '')
        : [],
    );

  test('not one that was passed over', () => {
    const bench = job(
      [
        { step: 'see', observe: 'look' },
        measure,
        again({ 'only-if': { observed: { look: 'no' } } }),
        step('z'),
      ],
      { observations: look },
    );
    bench.record('look', 'yes');
    bench.record('gap', '1.5');
    expect([bench.at, takers(bench)]).toEqual(['z', ['measure']]);
    bench.strike('gap');
    expect([bench.at, bench.offered]).toEqual(['measure', ['record gap']]);
    bench.record('gap', '5');
    expect(bench.hold).toBe('ask-the-lead');
    bench.release('concession', { by: lead });
    expect(bench.at).toBe('z');
    bench.done('z');
    expect(bench.verdicts).toEqual(['fit conforming', 'fit high']);
    bench.closes();
  });

  test('not one that waits for it while it is stale', () => {
    const bench = job([measure, step('shake', { disturbs: 'gap' }), again({})]);
    bench.record('gap', '1.5');
    bench.done('shake');
    expect([bench.at, takers(bench)]).toEqual(['again', ['measure']]);
    bench.strike('gap');
    expect(bench.at).toBe('measure');
    bench.record('gap', '1.6');
    expect([bench.at, bench.offered]).toEqual(['again', ['record gap']]);
    bench.record('gap', '1.7');
    expect(bench.verdicts).toEqual(['fit conforming', 'fit conforming']);
    bench.closes();
  });

  test('also when a later step has been entered that takes it anew', () => {
    const bench = job([measure, again({ do: 'x' }), step('z')]);
    bench.record('gap', '1.5');
    bench.done('again');
    expect([bench.cell('gap'), takers(bench)]).toEqual(['not-recorded', ['measure']]);
    bench.strike('gap');
    expect(bench.at).toBe('measure');
    bench.record('gap', '1.6');
    expect([bench.at, bench.offered]).toEqual(['again', ['record gap']]);
    bench.record('gap', '1.7');
    bench.done('z');
    bench.closes();
  });

  test('a reading that was taken again later no longer counts, and the later one goes to its own step', () => {
    const bench = job([measure, again({}), step('z')]);
    bench.record('gap', '1.5');
    const first = bench.seqOf('gap');
    bench.record('gap', '1.6');
    bench.refuses({ command: 'strike', target: first, reason: 'x' }, 'nothing-to-strike');
    bench.strike('gap');
    expect(bench.at).toBe('again');
    bench.record('gap', '1.7');
    bench.done('z');
    expect(bench.verdicts).toEqual(['fit conforming']);
    bench.closes();
  });

  test('when it has been left out since, an earlier one that took it too', () => {
    const bench = job(
      [
        measure,
        { step: 'see', observe: 'look' },
        again({ 'only-if': { observed: { look: 'no' } } }),
        step('z'),
      ],
      { observations: look },
    );
    bench.record('gap', '1.5');
    bench.record('look', 'no');
    bench.record('gap', '1.6');
    bench.strike('look');
    bench.record('look', 'yes');
    expect([bench.at, takers(bench)]).toEqual(['z', ['measure']]);
    bench.strike('gap');
    expect(bench.at).toBe('measure');
    bench.record('gap', '1.7');
    expect(bench.at).toBe('z');
    bench.done('z');
    expect(bench.verdicts).toEqual(['fit conforming', 'fit conforming']);
    bench.closes();
  });

  test('a step that judges it and was passed over is not entered', () => {
    const judge = {
      step: 'judge',
      judge: 'fit',
      'if-nonconforming': remedy,
      'only-if': { observed: { look: 'no' } },
    };
    const bench = job([{ step: 'see', observe: 'look' }, { step: 'read', read: 'gap' }, judge, step('z')], {
      observations: look,
    });
    bench.record('look', 'yes');
    bench.record('gap', '5');
    bench.strike('gap');
    bench.record('gap', '6');
    expect([bench.at, bench.verdicts]).toEqual(['z', []]);
    bench.done('z');
    bench.closes();
  });
});
