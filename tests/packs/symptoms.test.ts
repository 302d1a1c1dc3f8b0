import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { judgeReadings, type Pack, parseQuantity, resolve } from '@ferrule/engine';
import { beforeAll, describe, expect, test } from 'vitest';

const specs = join(import.meta.dirname, '../../specs');
const engines = ['marram-three', 'marram-four', 'marram-five', 'marram-six'] as const;

/** The newest revision of each pack that the symptom page leads to, and the page itself. */
const packs = new Map<string, Pack>();

beforeAll(async () => {
  const names = readdirSync(specs).filter((name) => name === 'valve-clearance' || name.startsWith('marram-'));
  for (const name of names.filter((one) => one !== 'marram-engines')) {
    const newest = readdirSync(join(specs, name)).sort().at(-1) ?? '';
    const { pack } = await checkPack(join(specs, name, newest), { withoutProof: true });
    if (pack !== undefined) packs.set(name, pack);
  }
}, 60_000);

function packOf(name: string): Pack {
  const pack = packs.get(name);
  if (pack === undefined) throw new Error(`${name} was not read`);
  return pack;
}

const factOf = (name: string, variant: string, fact: string) => packOf(name).variants[variant]?.facts?.[fact];

describe.each(engines)('the symptom page of the %s', (variant) => {
  const page = () => resolve(packOf('marram-symptoms'), { procedure: 'find-the-cause', variant }).plan;

  test('leads only to jobs that there are for this engine', () => {
    const led = page()?.nodes.flatMap((node) =>
      node.node === 'step' && node.act?.act === 'refer-to'
        ? [{ pack: node.act.pack, procedure: node.act.procedure }]
        : [],
    );
    expect(new Set(led?.map((one) => one.pack)).size).toBeGreaterThanOrEqual(7);
    const leadsNowhere = led?.filter(({ pack, procedure }) => {
      const there = packOf(pack);
      const isFor = there.procedures[procedure]?.variants ?? Object.keys(there.variants);
      return !isFor.includes(variant) || resolve(there, { procedure, variant }).plan === undefined;
    });
    expect(leadsNowhere).toEqual([]);
  });

  // One engine has one limit: a page that judges by another one sends a good engine to a job, or lets a bad one go.
  test.each([
    ['return-low', 'marram-fuel-supply'],
    ['return-high', 'marram-fuel-supply'],
    ['high-idle-low', 'marram-governor'],
  ])('has %s as %s has it', (fact, other) => {
    expect(factOf(other, variant, fact)).toMatch(/^\d+ (L\/h|r\/min)$/);
    expect(factOf('marram-symptoms', variant, fact)).toBe(factOf(other, variant, fact));
  });

  test('asks a cold start for more compression than the wear limit', () => {
    const bar = (text = '') => Number(/^(\d+\.\d) bar$/.exec(text)?.[1]);
    const wear = bar(factOf('marram-cylinder-balance', variant, 'compression-low'));
    expect(wear).toBeGreaterThan(20);
    expect(bar(factOf('marram-symptoms', variant, 'start-compression'))).toBeGreaterThan(wear);
  });

  test('judges the falls of speed by the lowest over their mean, and the compression by its lowest', () => {
    const plan = page();
    const cylinders = Number(packOf('marram-symptoms').variants[variant]?.cylinders);
    expect(cylinders).toBeGreaterThanOrEqual(3);
    const judged = (tolerance: string, kind: 'pressure' | 'rotational-speed', values: readonly string[]) => {
      const found = plan?.tolerances.find(({ name }) => name === tolerance);
      if (plan === undefined || found === undefined) throw new Error(`no ${tolerance}`);
      const read = (name: string) => {
        const parsed = parseQuantity(values[Number(name.split('@')[1]) - 1] ?? '', kind);
        return 'quantity' in parsed ? parsed.quantity : undefined;
      };
      const { verdict } = judgeReadings(plan, found, read, () => undefined);
      return [verdict.verdict, 'value' in verdict ? verdict.value?.value.toNumber() : undefined];
    };
    // One falls by 30, the others by 45: the mean is (30 + 45 (n − 1)) / n (computed by hand; common practice, no published source).
    const drops = Array.from({ length: cylinders }, (_, i) => (i === 1 ? '30 r/min' : '45 r/min'));
    const share = (30 * cylinders) / (30 + 45 * (cylinders - 1));
    const [verdict, value] = judged('least-share', 'rotational-speed', drops);
    expect(verdict).toBe(share >= 0.75 ? 'conforming' : 'nonconforming');
    expect(value).toBeCloseTo(share, 12);
    const pressures = Array.from({ length: cylinders }, (_, i) => (i === 2 ? '24.5 bar' : '29 bar'));
    expect(judged('start-compression-limit', 'pressure', pressures)[0]).toBe('nonconforming');
  });
});
