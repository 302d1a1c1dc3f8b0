import {
  judgeReadings,
  type Pack,
  type PlanTolerance,
  parseQuantity,
  resolve,
  type TakenBy,
  type WrittenVerdict,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { describe, expect, it } from 'vitest';
import { stripLegend, stripLine, stripOf, type ToleranceStrip, toleranceStrip } from '../src/index.ts';

const strip = (
  more: Partial<ToleranceStrip> & { readonly value: ToleranceStrip['value'] },
): ToleranceStrip => ({
  low: { at: 20, text: '20 mm' },
  high: { at: 30, text: '30 mm' },
  ...more,
});
const value = (at: number): ToleranceStrip['value'] => ({ at, text: `${at} mm` });

describe('a strip in signs', () => {
  it('has limits, what is accepted, the value and its uncertainty in their order', () => {
    const line = stripLine(strip({ value: value(28), spread: 1.5, accepted: { low: 21.5, high: 28.5 } }), 80);
    expect(line).toMatch(/^20 mm +\[\.+\(\.+=+#=*\)=+\.*\] +30 mm$/);
    expect([...line].length).toBeLessThanOrEqual(80);
  });

  it.each([
    ['at the lower limit', 20, /^20 mm +\[#\.+\] +30 mm$/],
    ['at the upper limit', 30, /^20 mm +\[\.+#\] +30 mm$/],
    ['just inside the lower limit', 20.0001, /^20 mm +\[#\.+\] +30 mm$/],
    ['just outside the lower limit', 19.9999, /^20 mm +#\[\.+\] +30 mm$/],
    ['just inside the upper limit', 29.9999, /^20 mm +\[\.+#\] +30 mm$/],
    ['just outside the upper limit', 30.0001, /^20 mm +\[\.+\]# +30 mm$/],
    ['far out', 900, /^20 mm +\[\.+\] +> 30 mm$/],
    ['far out below', -900, /^20 mm < +\[\.+\] +30 mm$/],
  ])('never shows a value %s on the wrong side', (_, at, expected) => {
    expect(stripLine(strip({ value: value(at) }), 60)).toMatch(expected);
  });

  it('shows a value just outside of what is accepted outside of it, and one just inside inside', () => {
    const accepted = { low: 22, high: 28 };
    expect(stripLine(strip({ value: value(28.001), accepted }), 60)).toMatch(/\)#\.*\]/);
    expect(stripLine(strip({ value: value(27.999), accepted }), 60)).toMatch(/#\)\.*\]/);
    expect(stripLine(strip({ value: value(22.001), accepted }), 60)).toMatch(/\[\.*\(#/);
    expect(stripLine(strip({ value: value(21.999), accepted }), 60)).toMatch(/\[\.*#\(/);
  });

  it('has one limit where there is one', () => {
    expect(stripLine({ high: { at: 30, text: '30 mm' }, value: value(28), spread: 1 }, 60)).toMatch(
      /^\.*=+#=+\.*\] +30 mm$/,
    );
    expect(stripLine({ low: { at: 20, text: '20 mm' }, value: value(18) }, 60)).toMatch(
      /^20 mm +#\.* *\[\.*$/,
    );
  });

  it('fits the width of a terminal, and says which signs it uses', () => {
    for (const columns of [40, 60, 80, 200]) {
      const line = stripLine(strip({ value: value(29), spread: 3 }), columns);
      expect([...line].length).toBeLessThanOrEqual(Math.min(columns, 120));
    }
    expect(stripLegend(strip({ value: value(29) }))).toBe('[ ] limits, # value');
    expect(stripLegend(strip({ value: value(29), spread: 1, accepted: { low: 26, high: 24 } }))).toBe(
      '[ ] limits, # value, = its uncertainty',
    );
  });
});

/** A gap of 0.20 mm to 0.30 mm by a gauge that may be off by 0.02 mm; invented. */
const document = {
  format: '1',
  pack: 'gap',
  revision: '1.0.0',
  title: 'Gap',
  roles: { lead: { title: 'Lead' } },
  variants: { one: { title: 'One' } },
  instruments: {
    gauge: {
      title: 'Gauge',
      quantity: 'length',
      range: ['0 mm', '1 mm'],
      resolution: '0.01 mm',
      'maximum-permissible-error': '0.02 mm',
    },
  },
  procedures: {
    measure: {
      title: 'Measure',
      readings: {
        gap: {
          measurand: 'Gap',
          quantity: 'length',
          unit: 'mm',
          instrument: 'gauge',
          plausible: ['0 mm', '1 mm'],
        },
      },
      tolerances: {
        limits: {
          of: 'gap',
          between: ['0.20 mm', '0.30 mm'],
          rule: 'guarded-acceptance',
          source: 'invented',
        },
      },
      steps: [
        {
          step: 'gap',
          do: 'Measure.',
          read: 'gap',
          judge: 'limits',
          'if-nonconforming': { hold: 'stop' },
          'if-inconclusive': { hold: 'stop' },
        },
      ],
      holds: { stop: { text: 'Stop.', release: [{ concession: 'lead' }] } },
    },
  },
};

function toleranceOf(): PlanTolerance {
  const { pack, diagnostics } = validate(document);
  const plan = pack && resolve(pack as Pack, { procedure: 'measure', variant: 'one' }).plan;
  const [tolerance] = plan?.tolerances ?? [];
  if (plan === undefined || tolerance === undefined) throw new Error(JSON.stringify(diagnostics));
  const read = parseQuantity('0.28 mm', 'length');
  if (!('quantity' in read)) throw new Error('a quantity');
  const taken: TakenBy = () => ({ quantity: read.quantity, instrument: { kind: 'gauge', identity: 'G' } });
  expect(judgeReadings(plan, tolerance, () => read.quantity, taken).verdict.verdict).toBe('inconclusive');
  return tolerance;
}

const verdict: WrittenVerdict = {
  verdict: 'inconclusive',
  value: '0.28 mm',
  limits: '0.20 mm to 0.30 mm',
  because: 'inside-guard-band',
  exact: '7/25',
  assessment: {
    rule: 'guarded-acceptance 1 × U',
    standardUncertainty: '0.012 mm',
    expandedUncertainty: '0.024 mm',
    coverageFactor: '2',
    // 0.01²/12 + 0.02²/3 mm² = 1.41667e-4 mm². Computed.
    variance: '17/120000',
    probability: '95.3 %',
  },
};

describe('the strip of a stored verdict', () => {
  it('is in base units, with the guard band taken off', () => {
    const found = stripOf(toleranceOf(), verdict);
    // U = 2 √(1.41667e-4) mm = 0.0238048 mm. Computed.
    expect(found?.spread).toBeCloseTo(0.0238048, 7);
    expect(found?.low).toEqual({ at: 0.2, text: '0.20 mm' });
    expect(found?.accepted?.low).toBeCloseTo(0.2238048, 7);
    expect(found?.accepted?.high).toBeCloseTo(0.2761952, 7);
    expect(found?.value).toEqual({ at: 0.28, text: '0.28 mm' });
  });

  it('is none without a value', () => {
    const { exact: _, ...without } = verdict;
    expect(stripOf(toleranceOf(), without)).toBeUndefined();
  });

  it('takes limits that were worked out from the words of the verdict', () => {
    const worked: PlanTolerance = { ...toleranceOf(), limits: {}, limitsFrom: {} };
    const at = (limits: string): readonly (number | undefined)[] => {
      const found = stripOf(worked, { ...verdict, limits });
      return [found?.low?.at, found?.high?.at];
    };
    expect(at('0.10 mm to 0.40 mm')).toEqual([0.1, 0.4]);
    expect(at('at least 0.10 mm')).toEqual([0.1, undefined]);
    expect(at('at most 0.40 mm')).toEqual([undefined, 0.4]);
  });
});

describe('a strip as a picture', () => {
  it('has limits, value and bar where they belong, and says them as words', () => {
    const svg = toleranceStrip(
      'strip-1',
      'Gap',
      strip({ value: value(28), spread: 1.5, accepted: { low: 21.5, high: 28.5 } }),
    ).toString();
    expect(svg).toContain('aria-labelledby="strip-1-title strip-1-description"');
    expect(svg).toContain(
      '<desc id="strip-1-description">limit 20 mm, limit 30 mm, value 28 mm, the bar is its expanded uncertainty, the darker part is accepted</desc>',
    );
    const x = Number(/<circle cx="([\d.]+)"/.exec(svg)?.[1]);
    const limits = [...svg.matchAll(/<path d="M([\d.]+) 28V62"/g)].map(([, at]) => Number(at));
    expect(limits).toHaveLength(2);
    const [low = 0, high = 0] = limits;
    // 28 lies at eight tenths of the way from 20 to 30.
    expect((x - low) / (high - low)).toBeCloseTo(0.8, 2);
  });

  it('escapes what comes from a pack', () => {
    const svg = toleranceStrip('s', '<script>', strip({ value: { at: 25, text: '<b>' } })).toString();
    expect(svg).not.toMatch(/<script|<b>/);
  });
});
