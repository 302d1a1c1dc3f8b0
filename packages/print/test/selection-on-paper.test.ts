import { type Plan, Rational, selectByReadings, writeQuantity } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { selectionRows } from '../src/sheet/selection-table.ts';
import { openPack, planOf, textOf } from './packs.ts';

interface Asked {
  readonly limits: Readonly<Record<string, unknown>>;
  readonly stock?: Readonly<Record<string, unknown>>;
  readonly fitted?: string;
  readonly error?: string;
}

/** A nozzle that is set by shims, with a tester that shows steps of 0.1 bar; everything is invented. */
function written({ limits, stock, fitted = '1.20 mm', error }: Asked) {
  const { pack, diagnostics } = validate({
    format: '1',
    pack: 'nozzles',
    revision: '1.0.0',
    title: 'Nozzles',
    roles: { lead: { title: 'Lead' } },
    variants: { one: { title: 'One' } },
    instruments: {
      tester: {
        title: 'Tester',
        quantity: 'pressure',
        range: ['0 bar', '400 bar'],
        resolution: '0.1 bar',
        ...(error === undefined ? {} : { 'maximum-permissible-error': error }),
      },
    },
    stock: {
      shims: {
        title: 'Shim',
        quantity: 'length',
        sizes: { from: '1.00 mm', to: '1.95 mm', by: '0.05 mm' },
        ...stock,
      },
    },
    holds: { stop: { text: 'Stop.', release: [{ concession: 'lead' }] } },
    procedures: {
      set: {
        title: 'Set',
        readings: {
          opening: {
            measurand: 'Opening',
            quantity: 'pressure',
            unit: 'bar',
            instrument: 'tester',
            plausible: ['150 bar', '320 bar'],
          },
        },
        tolerances: { 'opening-limits': { of: 'opening', source: 'invented', ...limits } },
        steps: [
          { step: 'try', do: 'Pump.', read: 'opening' },
          {
            step: 'choose',
            do: 'Take a shim.',
            select: {
              from: 'shims',
              for: 'opening-limits',
              fitted,
              sensitivity: '55 bar/mm',
              more: 'raises',
            },
            'if-nonconforming': { hold: 'stop' },
          },
        ],
      },
    },
  });
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics));
  const plan = planOf(pack, 'set', 'one');
  return { plan, text: textOf(sheet(plan, pack, { digest: 'sha256:0' })) };
}

/** What a job would choose at a reading: the sizes, or that it stays, or nothing. */
function choiceAt(plan: Plan, reading: string): string {
  const value = Rational.parse(reading);
  const [selection] = plan.selections;
  const [entry] = plan.entries;
  if (value === undefined || selection === undefined || entry?.entry !== 'reading') throw new Error(reading);
  const quantity = { kind: 'pressure', value, unit: entry.unit, digits: reading, decimals: 1 } as const;
  const { choice } = selectByReadings(
    plan,
    selection,
    () => quantity,
    () => ({ quantity }),
  );
  if (choice === undefined) throw new Error(`nothing chosen at ${reading}`);
  if (choice.choice !== 'chosen') return 'none';
  const sizes = choice.best.sizes.map((size) => {
    const listed = selection.stock.sizes.find((one) => one.value.equals(size));
    return listed === undefined ? size.toFraction() : writeQuantity(listed);
  });
  return sizes.length === 0 ? 'leave it' : sizes.join(' + ');
}

describe('the table of a choice from stock', () => {
  it.each<readonly [string, Asked]>([
    ['limits narrower than a step of the stock', { limits: { between: ['240 bar', '242 bar'] } }],
    ['limits wider than a step', { limits: { between: ['230 bar', '246.5 bar'] } }],
    [
      'sizes in a stack',
      {
        limits: { nominal: '240 bar', deviation: '2 bar' },
        stock: { sizes: ['0.10 mm', '0.25 mm', '0.60 mm'], stack: '3', total: ['0.30 mm', '1.50 mm'] },
      },
    ],
    [
      'a fitted size that may not stay',
      { limits: { between: ['240 bar', '244 bar'] }, stock: { total: ['1.30 mm', '1.90 mm'] } },
    ],
  ])('has at every value that can be read what a job chooses: %s', (_, asked) => {
    const { plan } = written(asked);
    const [selection] = plan.selections;
    const rows = selection && selectionRows(plan, selection);
    expect(rows?.length).toBeGreaterThan(3);
    const wrong: string[] = [];
    let chosenAt = 0;
    for (let tenths = 1500; tenths <= 3200; tenths++) {
      const reading = (tenths / 10).toFixed(1);
      const value = Rational.of(tenths, 10);
      const listed = (rows ?? []).filter(
        (row) => row.from.value.compare(value) <= 0 && row.to.value.compare(value) >= 0,
      );
      const says = listed.length === 0 ? 'none' : listed.map((row) => row.fit).join(' and ');
      const chosen = choiceAt(plan, reading);
      if (chosen !== 'none') chosenAt += 1;
      if (says !== chosen) wrong.push(`${reading}: paper says ${says}, a job chooses ${chosen}`);
    }
    expect(wrong).toEqual([]);
    expect(chosenAt).toBeGreaterThan(100);
  });

  it('says what is in stock, and what a choice would give', () => {
    const { text } = written({ limits: { between: ['240 bar', '242 bar'] } });
    expect(text).toContain('In stock: 1.00 mm to 1.95 mm by 0.05 mm');
    expect(text).toContain('Predicted: opening + 55 bar/mm × (new − 1.20 mm) ; more raises it.');
  });

  it('goes by a single limit in words, clear of it by what is known of the uncertainty', () => {
    const stock = { sizes: ['1 mm', '1.033 mm', '1.071 mm'] };
    const plain = written({ limits: { 'at-least': '240 bar' }, stock, fitted: '1 mm' });
    expect(plain.text).toContain(
      'what gives the lowest predicted value that is still at least 240 bar ; where nothing does, what gives the highest one',
    );
    // 239.2 bar + 55 bar/mm × 0.033 mm = 241.0 bar is the lowest of those above 240 bar.
    expect(choiceAt(plain.plan, '239.2')).toBe('1.033 mm');
    // 2 √(0.1²/12 + 1.5²/3) bar = 1.733 bar; U is taken as it is shown, 1.8 bar.
    const sure = written({ limits: { 'at-least': '240 bar' }, stock, fitted: '1 mm', error: '1.5 bar' });
    expect(sure.text).toContain('that is still at least 241.8 bar ;');
    // 239.2 bar + 55 bar/mm × 0.033 mm = 241.0 bar is not clear of it; with 0.071 mm it is 243.1 bar.
    expect(choiceAt(sure.plan, '239.2')).toBe('1.071 mm');
  });
});

it('shims that are laid in a rework can be chosen on paper', async () => {
  const { pack, digest } = await openPack('marram-inline-timing');
  const text = textOf(sheet(planOf(pack, 'time-by-shims', 'marram-four'), pack, { digest }));
  expect(text).toContain(
    'In stock: 0.10 mm, 0.15 mm, 0.20 mm, 0.50 mm, 1.00 mm; together at least 0.80 mm and at most 2.40 mm; each ± 0.005 mm',
  );
  expect(text).toContain('Predicted: lead by ring + (−10 °/mm) × (new − shim fitted) ; more lowers it.');
  // Fewest pieces, then the larger ones: 0.95 mm is made of 0.50 + 0.20 + 0.15 + 0.10.
  expect(text).toContain('0.95 0.50+0.20+0.15+0.10');
  expect(text).toMatch(/Lay the shims[\s\S]*(Fitted: mm Predicted: ° none in stock does|fitted mm none)/);
});
