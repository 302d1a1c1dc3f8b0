import { inOtherSystem, parseQuantity } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { beforeAll, describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { type Opened, openPack, planOf, textOf } from './packs.ts';

const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";
const large = {
  procedure: 'install-and-synchronise',
  variants: ['marram-three', 'marram-four', 'marram-five'],
};

let pumps: Opened;
let clearance: Opened;
beforeAll(async () => {
  [pumps, clearance] = await Promise.all([openPack('marram-unit-pumps'), openPack('valve-clearance')]);
});

const sheetOf = ({ pack, digest }: Opened, procedure: string, variant: string): string =>
  sheet(planOf(pack, procedure, variant), pack, { digest });

describe('a sheet', () => {
  it('loads nothing, runs nothing and says its language', () => {
    const html = sheetOf(clearance, 'set-clearances', 'marram-four');
    expect(html).toMatch(/^<!doctype html>\n<html lang="en">/);
    expect(html).toContain(`content="default-src 'none'; style-src 'unsafe-inline'`);
    expect(html.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(
      /<script|https?:|url\((?!#)|@import|<link|<img/,
    );
    const [, foot = ''] = /<tfoot>([\s\S]*?)<\/tfoot>/.exec(html) ?? [];
    for (const words of [clearance.digest, 'valve-clearance 1.0.0', deferral, clearance.pack.notice ?? '-'])
      expect(textOf(foot)).toContain(words);
  });

  it('says limits in both systems of units, the pack’s own first', () => {
    const text = textOf(sheetOf(pumps, large.procedure, 'marram-five'));
    // computed: 19.80/25.4 = 0.7795, 20.50/25.4 = 0.8071; 43 N·m is 31.7 lbf·ft, 1.3 bar is 18.9 psi (SP 811, B.8, read)
    expect(text).toContain('19.80 mm to 20.50 mm (0.780 in to 0.807 in)');
    expect(text).toContain('43 N·m (32 lbf·ft)');
    expect(text).toContain('at least 1.3 bar (at least 19 psi)');
    expect(text).toContain('0.036 mm ± 0.005 mm , that is 0.031 mm to 0.041 mm');
  });

  it.each(large.variants)('has every tolerance of %s with its limits and their source', (variant) => {
    const plan = planOf(pumps.pack, large.procedure, variant);
    const text = textOf(sheetOf(pumps, large.procedure, variant));
    expect(plan.tolerances.length).toBeGreaterThan(12);
    for (const { says, source } of plan.tolerances) {
      expect(text).toContain(says);
      expect(text).toContain(source);
      const [, written = ''] = /^at least (.*)$/.exec(says) ?? [];
      const read = parseQuantity(written);
      const other = 'quantity' in read ? inOtherSystem(read.quantity) : undefined;
      if (other !== undefined) expect(text).toContain(`at least ${other.digits} ${other.unit.symbol}`);
    }
  });

  it.each(large.variants)(
    'says each hazard before the step that it belongs to, the worst first, for %s',
    (variant) => {
      const plan = planOf(pumps.pack, large.procedure, variant);
      const html = sheetOf(pumps, large.procedure, variant).split('<tbody>');
      const rows = html.map((row, place) => ({
        row: textOf(row),
        above: textOf(html.slice(0, place + 1).join(' ')),
      }));
      const first = (text: string): string => /^.*?[.!?](?= |$)/.exec(text)?.[0] ?? text;
      const order = ['DANGER', 'WARNING', 'CAUTION', 'NOTICE'];
      let found = 0;
      for (const node of plan.nodes) {
        if (node.node !== 'step' || node.hazards.length === 0 || node.act === undefined) continue;
        const hazards = node.hazards.flatMap((id) => plan.hazards.find((one) => one.id === id) ?? []);
        // The words up to the first number, which is the bore and may stand as N.
        const words = node.act.says.split(/\d/)[0] ?? '';
        const at = rows.flatMap(({ row, above }) => {
          const step = row.lastIndexOf(words);
          // At the step at least by its first sentence, and in full above it.
          return step >= 0 &&
            hazards.every(({ text }) => row.lastIndexOf(first(text), step) >= 0 && above.includes(text))
            ? [{ row, step }]
            : [];
        });
        expect(at.length, node.path).toBeGreaterThan(0);
        found += 1;
        const { row = '', step = 0 } = at[0] ?? {};
        const signals = hazards
          .map(({ signal, text }) => ({
            rank: order.indexOf(signal.toUpperCase()),
            at: row.lastIndexOf(first(text), step),
          }))
          .sort((a, b) => a.at - b.at)
          .map((one) => one.rank);
        expect(signals).toEqual([...signals].sort());
      }
      expect(found).toBeGreaterThan(20);
    },
  );

  it('says a hazard in full where it comes up first in a part of the work', () => {
    const html = sheetOf(pumps, large.procedure, 'marram-five');
    const steps = html.slice(html.indexOf('<h2>Steps'), html.indexOf('<h2>Requirements after'));
    const { hazards } = planOf(pumps.pack, large.procedure, 'marram-five');
    let found = 0;
    for (const part of steps.split('<h3>').map(textOf))
      for (const { text } of hazards) {
        const [first = text] = /^.*?[.!?](?= |$)/.exec(text) ?? [];
        const at = part.indexOf(first);
        if (at < 0) continue;
        expect(part.slice(at, at + text.length)).toBe(text);
        found += 1;
      }
    expect(found).toBeGreaterThan(20);
  });

  it('lists what is required before and after, with the number of spares for the variant', () => {
    for (const [variant, number] of [
      ['marram-three', 3],
      ['marram-five', 5],
    ] as const) {
      const text = textOf(sheetOf(pumps, large.procedure, variant));
      expect(text).toContain(`Copper washer under the nozzle ${number}`);
      expect(text).toContain('Every tool, gauge, cap and bore plug is back on its board.');
      expect(text).toContain('A delivery balance test of all cylinders.');
      expect(text).toContain('Cord to pull the fuel tap shut from the stop');
    }
  });

  it('says none where a list is empty', () => {
    const { preliminary } = clearance.pack.procedures['set-clearances'] ?? {};
    if (preliminary === undefined) throw new Error('the pack lists nothing');
    const procedure = clearance.pack.procedures['set-clearances'];
    if (procedure === undefined) throw new Error('there is no procedure');
    const pack = {
      ...clearance.pack,
      procedures: {
        ...clearance.pack.procedures,
        'set-clearances': { ...procedure, preliminary: { ...preliminary, supplies: [], spares: [] } },
      },
    };
    const text = textOf(sheetOf({ pack, digest: 'd' }, 'set-clearances', 'marram-four'));
    expect(text).toContain('Supplies None. Also used');
    expect(text).toContain('Spares None.');
  });

  it('has every step once, in order, with a column for each bore of a loop', () => {
    const html = sheetOf(clearance, 'set-clearances', 'marram-four');
    const numbers = [...html.matchAll(/<td class="number">(\d+)<\/td>/g)].map(([, number]) => Number(number));
    expect(numbers).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
    // The pack's rotation plan, as `crank` shows it: 1 at 0°, 4 at 360°, 2 at 540°, 3 at 180°.
    const heads = [...html.matchAll(/<th scope="col">(bore \d)<\/th>/g)].map(([, bore]) => bore);
    expect(heads).toEqual(['bore 1', 'bore 4', 'bore 2', 'bore 3']);
    const text = textOf(html);
    expect(text).toMatch(
      /5 (WARNING.*)?Turn the crankshaft by P in the running direction.* P 360° .* P 360° .* P 180° .* P 360° .* 6 Feel/,
    );
    expect(text).toMatch(
      /If nonconforming ?, at most 3 times: .*Then again from step 6\. After that: hold H1\./,
    );
  });

  it('has every step of the plan, those of reworks too', () => {
    for (const variant of large.variants) {
      const plan = planOf(pumps.pack, large.procedure, variant);
      const text = textOf(sheetOf(pumps, large.procedure, variant));
      for (const node of plan.nodes) {
        // What has to be in hand stands in a list with boxes.
        if (node.node !== 'step' || node.path.startsWith('preliminary/')) continue;
        const words = (node.act?.says ?? '').split(/\d|upper|lower/)[0]?.trim() ?? '';
        // The half of the choice of a ring that does not apply is left out.
        if (!/otherwise\/|case-1\//.test(node.path)) expect(text, node.path).toContain(words);
      }
    }
  });
});

it('says how long to wait, and what to fit in a rework, for each bore alike', async () => {
  const bench = await openPack('marram-nozzle-bench');
  const text = textOf(sheetOf(bench, 'test-and-set', 'marram-three'));
  // Values: Marram workshop notes, tables 9-1 to 9-3 (invented), read in the pack.
  expect(text).toContain('Let the extractor draw the mist off. Wait 15 s.');
  for (const aim of ['250 bar', '255 bar'])
    expect(text).toMatch(
      new RegExp(
        `Fit from Shims [^:]*: shim fitted \\+ \\(${aim} − opening\\) ÷ 100 bar/mm ?, the nearest in stock`,
      ),
    );
  expect(text).toMatch(
    /Measure the shim, wiped dry\. Read \(shim fitted\): Thickness of the shim that came out of nozzle N ?,/,
  );
});

describe('what is set and in which order', () => {
  const written = {
    format: '1',
    pack: 'pipes',
    revision: '1.0.0',
    title: 'Pipes',
    notice: 'Demonstration data.',
    variants: { four: { title: 'Four-cylinder' } },
    instruments: {
      wrench: { title: 'Wrench', quantity: 'torque', range: ['10 N·m', '60 N·m'], resolution: '0.5 N·m' },
      known: {
        title: 'Wrench',
        quantity: 'torque',
        range: ['10 N·m', '60 N·m'],
        resolution: '0.5 N·m',
        length: '300 mm',
      },
    },
    joints: { nut: { title: 'Nut' }, flange: { title: 'Flange', fasteners: '4' } },
    procedures: {
      job: {
        title: 'Fit',
        readings: {
          runs: {
            measurand: 'What the nut takes',
            quantity: 'torque',
            unit: 'N·m',
            plausible: ['0 N·m', '8 N·m'],
          },
        },
        steps: [
          { step: 'feel', read: 'runs' },
          {
            step: 'unknown',
            tighten: {
              joint: 'nut',
              stages: ['20 N·m', '43 N·m'],
              with: 'wrench',
              'running-torque': 'runs',
              adapter: { length: '45 mm', angle: '60°' },
            },
          },
          {
            step: 'known',
            tighten: { joint: 'nut', stages: ['43 N·m'], with: 'known', adapter: { length: '45 mm' } },
          },
          {
            step: 'flange',
            tighten: {
              joint: 'flange',
              stages: ['12 N·m', '24 N·m'],
              with: 'wrench',
              pattern: ['1', '3', '2', '4'],
            },
          },
        ],
      },
    },
  };
  const { pack } = validate(written);
  if (pack === undefined) throw new Error('the pack does not fit the format');
  const html = sheet(planOf(pack, 'job', 'four'), pack, { digest: 'sha256:0' });
  const text = textOf(html);

  it('is a formula where the length of the wrench is not known, with boxes for it and for what was set', () => {
    expect(text).toContain('(torque + running torque) × L / (L + 45 mm × cos 60°)');
    expect(text).toContain('the running torque is: What the nut takes');
    expect(text).toMatch(/L mm set for 20 N·m N·m set for 43 N·m N·m/);
  });

  it('is said where everything is known', () => {
    // computed: 43 × 300 / 345 = 37.39
    expect(text).toContain('That is, where L is 300 mm: 37.5 N·m for 43 N·m');
  });

  it('is a table of stages and fasteners', () => {
    const [, table = ''] = /<table class="list pattern">([\s\S]*?)<\/table>/.exec(html) ?? [];
    expect(textOf(table)).toMatch(/12 N·m \(.*\) 1 3 2 4 24 N·m \(.*\) 1 3 2 4/);
    expect(table.match(/class="box"/g)).toHaveLength(8);
    expect(text).toContain('order 1, 3, 2, 4');
  });
});
