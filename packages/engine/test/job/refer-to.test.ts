import { describe, expect, test } from 'vitest';
import { type Fact, offers, referrals } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { faultsOf, length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench, lead, second } from './bench.ts';

const nozzles = { pack: 'nozzle-bench', procedure: 'bench-test', title: 'Nozzle bench test' };
const rack = { pack: 'rack-bench', procedure: 'set-rack', title: 'Setting of the rack' };
const refer = (step: string, to: Written, more: Written = {}): Written => ({ step, 'refer-to': to, ...more });
const ledTo = ({ plan, job }: Bench): readonly string[] => referrals(plan, job).map((one) => one.procedure);

describe('a step that leads to a procedure of another pack', () => {
  test('says so, is confirmed, and then is due next', () => {
    const bench = new Bench(packOf({ steps: [refer('nozzles', nozzles, { do: 'Send the nozzles in.' })] }));
    expect(offers(bench.plan, bench.job).step?.title).toBe(
      'Send the nozzles in. Next: Nozzle bench test (pack nozzle-bench).',
    );
    expect(bench.offered).toEqual(['done nozzles']);
    expect(referrals(bench.plan, bench.job)).toEqual([]);
    expect(bench.done('nozzles')).toEqual([{ kind: 'referred', step: 'nozzles', ...nozzles }]);
    expect(referrals(bench.plan, bench.job)).toEqual([{ step: 'nozzles', seq: 2, ...nozzles }]);
    bench.closes();
    expect(ledTo(bench)).toEqual(['bench-test']);
  });

  test('two steps that lead to the same make it due once, in the order of confirming', () => {
    const steps = [refer('a', rack), refer('b', nozzles), refer('c', { ...rack, title: 'The rack' })];
    const bench = new Bench(packOf({ steps }));
    for (const step of ['a', 'b', 'c']) bench.done(step);
    expect(ledTo(bench)).toEqual(['set-rack', 'bench-test']);
    bench.closes();
  });

  test('it can be struck like other work that changes nothing, and is confirmed anew', () => {
    const bench = new Bench(packOf({ steps: [refer('a', rack), refer('b', nozzles)] }));
    bench.done('a');
    bench.does({ command: 'strike', target: 2, reason: 'Not these.' });
    expect([bench.at, ledTo(bench)]).toEqual(['a', []]);
    bench.refuses({ command: 'strike', target: 2, reason: 'Again.' }, 'nothing-to-strike');
    bench.done('a');
    bench.done('b');
    expect(ledTo(bench)).toEqual(['set-rack', 'bench-test']);
    bench.closes();
  });

  test('after a rework it counts only once the job has come past it again', () => {
    const gap: Written = { readings: { gap: length() }, tolerances: { fit: limits('gap') } };
    const measure: Written = {
      step: 'measure',
      read: 'gap',
      judge: 'fit',
      'if-nonconforming': {
        rework: [refer('inside', nozzles)],
        'resume-at': 'first',
        attempts: '3',
        exhausted: 'worn-out',
      },
    };
    const steps = [
      { step: 'first', do: 'x' },
      refer('rack', rack, { 'not-applicable': 'lead' }),
      measure,
      { step: 'last', do: 'x' },
    ];
    const bench = new Bench(packOf({ ...gap, steps }));
    bench.done('first');
    bench.done('rack');
    bench.record('gap', '3');
    expect(ledTo(bench)).toEqual(['set-rack']);
    bench.done('measure/if-nonconforming/inside');
    expect(ledTo(bench)).not.toContain('set-rack');
    bench.done('first');
    bench.does({ command: 'omit', step: 'rack', reason: 'It was set.' }, { by: lead });
    bench.record('gap', '1.5');
    bench.done('last');
    expect(ledTo(bench)).toEqual([]);
    bench.closes();
  });

  test('on a way that the job no longer takes it does not count', () => {
    const observations = { look: { text: 't', answers: { clean: 'C', worn: 'W' } } };
    const when = (answer: string) => ({ observed: { look: answer } });
    const steps = [
      { step: 'see', observe: 'look' },
      {
        choose: 'which',
        cases: [{ when: when('worn'), steps: [refer('nozzles', nozzles)] }],
        otherwise: [refer('rack', rack)],
      },
      { step: 'last', do: 'x' },
    ];
    const bench = new Bench(packOf({ observations, steps }));
    bench.record('look', 'worn');
    bench.done('which/case-1/nozzles');
    expect(ledTo(bench)).toEqual(['bench-test']);
    bench.strike('look');
    bench.record('look', 'clean');
    bench.done('which/otherwise/rack');
    expect(ledTo(bench)).toEqual(['set-rack']);
    bench.done('last');
    bench.closes();
  });

  test('it stays due in a job that is closed as unfinished', () => {
    const bench = new Bench(packOf({ steps: [refer('a', rack), { step: 'b', do: 'x' }] }));
    bench.done('a');
    bench.does({ command: 'abandon', reason: 'The engine is needed.' });
    expect(ledTo(bench)).toEqual(['set-rack']);
    bench.replays();
  });

  test('where two confirm it together, both are named, and neither may witness it', () => {
    const more = { 'together-with': 'second', witness: 'lead' };
    const bench = new Bench(packOf({ steps: [refer('a', rack, more)] }));
    bench.refuses({ command: 'done', step: 'a' }, 'empty');
    expect(bench.does({ command: 'done', step: 'a', together: second })[0]).toMatchObject({
      together: second,
    });
    bench.refuses({ command: 'witness', step: 'a' }, 'same-person');
    bench.does({ command: 'witness', step: 'a' }, { by: lead });
    bench.closes();
  });
});

describe('its facts', () => {
  const bench = new Bench(packOf({ steps: [refer('a', rack), { step: 'b', do: 'x' }] }));
  bench.done('a');
  bench.done('b');
  const stored = JSON.parse(JSON.stringify(bench.facts)) as readonly Fact[];
  const changed = (seq: number, more: object): readonly Fact[] =>
    stored.map((one) => (one.seq === seq ? ({ ...one, fact: { ...one.fact, ...more } } as Fact) : one));

  test.each([
    ['another pack', 2, { pack: 'nozzle-bench' }, 'does not lead to set-rack of nozzle-bench'],
    ['another procedure', 2, { procedure: 'bench-test' }, 'does not lead to bench-test'],
    ['plainly done', 2, { kind: 'done' }, 'leads to a procedure'],
    ['of a step that leads nowhere', 3, { kind: 'referred', ...rack }, 'does not lead to'],
    ['without a title', 2, { title: undefined }, 'title of referred is missing'],
    ['with somebody who was not asked for', 2, { together: second }, 'Two people do together'],
  ])('%s is no fact of this plan', (_, seq, more, says) => {
    expect(replay(bench.plan, changed(seq, more)).fault).toMatchObject({ seq });
    expect(replay(bench.plan, changed(seq, more)).fault?.message).toContain(says);
  });
});

describe('in a pack', () => {
  const codes = (step: Written): readonly string[] =>
    faultsOf(packOf({ steps: [step] })).map((one) => `${one.code} ${one.pointer}`);
  test('it is the one main verb of its step', () => {
    expect(codes(refer('a', rack, { wait: '5 min' }))).toEqual([
      'several-verbs /procedures/main/steps/0/refer-to',
    ]);
  });
  test('in the same pack the procedure has to be there', () => {
    expect(codes(refer('a', { ...rack, pack: 'small', procedure: 'mian' }))).toEqual([
      'unknown-name /procedures/main/steps/0/refer-to/procedure',
    ]);
    expect(codes(refer('a', { ...rack, pack: 'small', procedure: 'main' }))).toEqual([]);
  });
  test('all three are needed, and names are written as names', () => {
    const { title, ...untitled } = rack;
    expect(title).not.toBe('');
    expect(codes(refer('a', untitled))).toEqual([expect.stringContaining('missing-key')]);
    expect(codes(refer('a', { ...rack, pack: 'Rack bench' }))).toHaveLength(1);
    expect(codes(refer('a', { ...rack, revision: '1.0.0' }))).toEqual([
      expect.stringContaining('unknown-key'),
    ]);
  });
  test('its title says which bore is meant', () => {
    const step = refer('a', { ...rack, title: 'Rack at bore {bore}' });
    const bench = new Bench(packOf({ steps: [{ each: 'bore', of: ['2', '3'], steps: [step] }] }));
    expect(bench.done('bore=2/a')[0]).toMatchObject({ title: 'Rack at bore 2' });
  });
});
