import { describe, expect, test } from 'vitest';
import { type FactBody, offers, type WrittenVerdict } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { shimPack, shimStock, straightPack } from '../shim-pack.ts';
import { faultsOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

/** A job that has found an opening pressure and the shim that gave it, and is about to choose another. */
function atChoice(pressure: string, shim: string, document: Written = shimPack()): Bench {
  const bench = new Bench(document);
  bench.does({ command: 'done', step: 'try' });
  bench.does({ command: 'record', entry: 'opening', value: pressure });
  bench.does({ command: 'done', step: bench.at });
  bench.does({ command: 'record', entry: 'shim-found', value: shim });
  return bench;
}

const shownBy = (bench: Bench): WrittenVerdict | undefined =>
  offers(bench.plan, bench.job).offers.flatMap((one) => (one.offer === 'done' ? (one.choice ?? []) : []))[0];

const judgedBy = (facts: readonly FactBody[]) => facts.find((one) => one.kind === 'judged');

describe('a choice from stock', () => {
  test('is shown before the work, and recorded with it', () => {
    const bench = atChoice('205', '1.00');
    const shown = shownBy(bench);
    expect(shown).toMatchObject({
      verdict: 'conforming',
      value: '1.10 mm: predicted 215 bar',
      limits: '210 bar to 218 bar',
      chosen: {
        stock: 'shims',
        sizes: ['1.10 mm'],
        total: '1.10 mm',
        fitted: '1.00 mm',
        predicted: '215 bar',
      },
    });
    const fact = judgedBy(bench.does({ command: 'done', step: bench.at }));
    expect(fact).toEqual({
      kind: 'judged',
      step: bench.at.replace('assemble', 'choose-shim'),
      of: 'choose-shim',
      verdict: shown,
    });
    expect(bench.at.endsWith('/assemble')).toBe(true);
  });

  test('may be what is fitted', () => {
    // Nothing comes nearer to 214 bar than 209 bar + 100 bar/mm × 0.05 mm, so what is fitted stays only at 214 bar.
    const bench = atChoice('209', '1.07');
    expect(shownBy(bench)?.value).toBe('1.10 mm: predicted 212 bar');
    const kept = atChoice(
      '219',
      '1.00',
      shimPack({}, {}, { stock: { shims: { ...shimStock, sizes: ['1.10 mm', '1.50 mm'] } } }),
    );
    expect(shownBy(kept)).toMatchObject({
      verdict: 'nonconforming',
      value: 'none in stock does; the nearest, 1.00 mm that is fitted, gives 219 bar',
      excess: '1 bar',
      chosen: { sizes: [], stays: true },
    });
  });

  test('leads to the hold where none does', () => {
    const bench = atChoice('150', '1.00');
    const facts = bench.does({ command: 'done', step: bench.at });
    expect(judgedBy(facts)?.verdict).toMatchObject({
      verdict: 'nonconforming',
      value: 'none in stock does; the nearest, 1.50 mm, gives 200 bar',
      excess: '10 bar',
    });
    expect(offers(bench.plan, bench.job).hold?.id).toBe('ask-the-lead');
    bench.does({ command: 'release', by: 'concession', reason: 'The nearest has to do.' }, { by: lead });
    expect(bench.at.endsWith('/assemble')).toBe(true);
  });

  test('leaves out what is not in the drawer, until it is there again', () => {
    const bench = atChoice('205', '1.00');
    bench.does({ command: 'out-of-stock', stock: 'shims', size: '1.1' });
    expect(shownBy(bench)?.value).toBe('1.05 mm: predicted 210 bar');
    bench.does({ command: 'out-of-stock', stock: 'shims', size: '1.05 mm' });
    expect(shownBy(bench)).toMatchObject({ verdict: 'nonconforming', excess: '2 bar' });
    bench.does({ command: 'out-of-stock', stock: 'shims', size: '1.10 mm', back: true });
    expect(shownBy(bench)?.value).toBe('1.10 mm: predicted 215 bar');
    expect(bench.job.usedUp).toEqual([{ stock: 'shims', size: '1.05 mm' }]);
    expect(replay(bench.plan, bench.job.facts).job?.usedUp).toEqual(bench.job.usedUp);
    bench.refuses({ command: 'out-of-stock', stock: 'shims', size: '1.05 mm' }, 'not-offered');
    bench.refuses({ command: 'out-of-stock', stock: 'shims', size: '1.10 mm', back: true }, 'not-offered');
    bench.refuses({ command: 'out-of-stock', stock: 'shims', size: '1.12 mm' }, 'unknown-answer');
    bench.refuses({ command: 'out-of-stock', stock: 'shims', size: 'thick' }, 'unknown-answer');
    bench.refuses({ command: 'out-of-stock', stock: 'bolts', size: '1.10 mm' }, 'not-offered');
  });

  test('is made again after the work is struck, and goes by what was found missing then', () => {
    const bench = atChoice('205', '1.00', straightPack());
    bench.does({ command: 'done', step: bench.at });
    const done = bench.job.facts.findLast(({ fact }) => fact.kind === 'done')?.seq ?? 0;
    bench.does({ command: 'out-of-stock', stock: 'shims', size: '1.10 mm' });
    bench.does({ command: 'strike', target: done, reason: 'The drawer was empty.' });
    expect(bench.at).toBe('choose-shim');
    const facts = bench.does({ command: 'done', step: bench.at });
    expect(judgedBy(facts)?.verdict.value).toBe('1.05 mm: predicted 210 bar');
  });

  test('is made again when a reading that it went by is struck', () => {
    const bench = atChoice('205', '1.00', straightPack());
    bench.does({ command: 'done', step: bench.at });
    const read = bench.job.facts.findLast(({ fact }) => fact.kind === 'reading')?.seq ?? 0;
    bench.does({ command: 'strike', target: read, reason: 'Misread.' });
    const facts = bench.does({ command: 'record', entry: 'shim-found', value: '1.20' });
    expect(judgedBy(facts)?.verdict.value).toBe('1.30 mm: predicted 215 bar');
  });

  test('goes by a size that is stated', () => {
    const stated = atChoice('205', '1.00', shimPack({ fitted: '1.20 mm' }));
    expect(shownBy(stated)?.value).toBe('1.30 mm: predicted 215 bar');
  });

  test('says how uncertain the prediction is, by the instruments and the pieces', () => {
    const instruments = {
      tester: {
        title: 'Nozzle tester',
        quantity: 'pressure',
        range: ['0 bar', '400 bar'],
        resolution: '1 bar',
        'maximum-permissible-error': '3 bar',
      },
      micrometer: {
        title: 'Micrometer',
        quantity: 'length',
        range: ['0 mm', '25 mm'],
        resolution: '0.01 mm',
        'maximum-permissible-error': '0.01 mm',
      },
    };
    const stock = { shims: { ...shimStock, 'maximum-permissible-error': '0.006 mm' } };
    const bench = atChoice('205', '1.00', shimPack({}, {}, { instruments, stock }));
    // u² = 3²/3 + 1²/12 + 100² (0.006²/3 + 0.01²/3 + 0.01²/12) = 3.6199… bar²; 2u = 3.8052… bar, rounded up.
    expect(shownBy(bench)?.verdict === 'conforming' && shownBy(bench)).toMatchObject({
      chosen: { expandedUncertainty: '3.9 bar' },
    });
  });

  test('waits for a reading that no longer counts', () => {
    const bench = atChoice('205', '1.00');
    const [opening] = bench.job.facts.filter(({ fact }) => fact.kind === 'reading');
    bench.does({ command: 'done', step: bench.at });
    bench.does({ command: 'strike', target: opening?.seq ?? 0, reason: 'Misread.', insist: true });
    expect(replay(bench.plan, bench.job.facts).job?.control).toEqual(bench.job.control);
  });
});

test('a record in which the choice stands otherwise than its step is not read', () => {
  const bench = atChoice('205', '1.00');
  bench.does({ command: 'done', step: bench.at });
  const facts = bench.job.facts.map((one) =>
    one.fact.kind === 'judged' && one.fact.of === 'choose-shim'
      ? { ...one, fact: { ...one.fact, of: 'opening-limits' } }
      : one,
  );
  expect(replay(bench.plan, facts).fault?.message).toContain('This step judges choose-shim');
});

describe('what an author can get wrong', () => {
  const codes = (document: Written) => faultsOf(document).map((one) => `${one.code} ${one.pointer}`);
  const at = '/procedures/main/steps/0/if-nonconforming/rework/1';
  const stockWith = (more: Written) => shimPack({}, {}, { stock: { shims: { ...shimStock, ...more } } });

  test.each<[string, Written, string]>([
    ['nothing', shimPack(), ''],
    ['a sign that contradicts the word', shimPack({ more: 'lowers' }), `moves-away ${at}/select/sensitivity`],
    ['the other way round', shimPack({ sensitivity: '-100 bar/mm' }), `moves-away ${at}/select/sensitivity`],
    [
      'a sensitivity of nothing',
      shimPack({ sensitivity: '0 bar/mm' }),
      `wrong-value ${at}/select/sensitivity`,
    ],
    [
      'a sensitivity of another kind',
      shimPack({ sensitivity: '100 N·m' }),
      `wrong-quantity ${at}/select/sensitivity`,
    ],
    ['a fitted size of another kind', shimPack({ fitted: 'opening' }), `wrong-quantity ${at}/select/fitted`],
    ['a fitted size that is no name', shimPack({ fitted: 'shim-fond' }), `unknown-name ${at}/select/fitted`],
    ['no such stock', shimPack({ from: 'shim' }), `unknown-name ${at}/select/from`],
    ['no such tolerance', shimPack({ for: 'opening-limit' }), `unknown-name ${at}/select/for`],
    ['no remedy', shimPack({}, { 'if-nonconforming': undefined }), `no-remedy ${at}`],
    [
      'a remedy for each side',
      shimPack(
        {},
        {
          'if-nonconforming': { 'when-high': { hold: 'ask-the-lead' }, 'when-low': { hold: 'ask-the-lead' } },
        },
      ),
      `wrong-form ${at}/if-nonconforming`,
    ],
    [
      'a remedy for what cannot be',
      shimPack({}, { 'if-inconclusive': { hold: 'ask-the-lead' } }),
      `needless-remedy ${at}/if-inconclusive`,
    ],
    ['a second verdict', shimPack({}, { judge: 'opening-limits' }), `several-checks ${at}/select`],
    ['a second verb', shimPack({}, { wait: '5 s' }), `several-verbs ${at}/wait`],
    ['a reading that the step itself takes', shimPack({}, { read: 'shim-found' }), ''],
    [
      'sizes that are not ascending',
      stockWith({ sizes: ['1.00 mm', '1.10 mm', '1.05 mm'] }),
      'bad-stock /stock/shims/sizes/2',
    ],
    [
      'a size that stands there twice',
      stockWith({ sizes: ['1.00 mm', '0.0393700787401574803 in', '1.0 mm'] }),
      'bad-stock /stock/shims/sizes/1 bad-stock',
    ],
    ['a size of nothing', stockWith({ sizes: ['0 mm', '1.10 mm'] }), 'bad-stock /stock/shims/sizes/0'],
    ['a size of another kind', stockWith({ sizes: ['1 bar'] }), 'wrong-quantity /stock/shims/sizes/0'],
    [
      'steps that do not come out',
      stockWith({ sizes: { from: '1.00 mm', to: '1.52 mm', by: '0.05 mm' } }),
      'bad-stock /stock/shims/sizes/by',
    ],
    [
      'steps backwards',
      stockWith({ sizes: { from: '1.50 mm', to: '1.00 mm', by: '0.05 mm' } }),
      'bad-stock /stock/shims/sizes/to',
    ],
    [
      'steps of nothing',
      stockWith({ sizes: { from: '1.00 mm', to: '1.50 mm', by: '0 mm' } }),
      'bad-stock /stock/shims/sizes/by',
    ],
    [
      'too many sizes',
      stockWith({ sizes: { from: '1.000 mm', to: '1.500 mm', by: '0.001 mm' } }),
      'bad-stock /stock/shims/sizes/by',
    ],
    ['a total that nothing comes to', stockWith({ total: ['3 mm', '4 mm'] }), 'bad-stock /stock/shims/total'],
    [
      'a total the wrong way round',
      stockWith({ total: ['4 mm', '3 mm'] }),
      'reversed-pair /stock/shims/total',
    ],
    [
      'an error with a sign',
      stockWith({ 'maximum-permissible-error': '-0.01 mm' }),
      'wrong-value /stock/shims/maximum-permissible-error',
    ],
  ])('%s', (_, document, expected) => {
    const [code = '', pointer = ''] = expected.split(' ');
    const found = codes(document);
    if (expected === '') expect(found).toEqual([]);
    else expect(found.join('\n')).toContain(`${code} ${pointer}`);
  });
});
