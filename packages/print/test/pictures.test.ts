import { Report, resolveVariant } from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { beforeAll, describe, expect, it } from 'vitest';
import { crankPicture, procedureGraph } from '../src/index.ts';
import { type Opened, openPack, planOf, textOf } from './packs.ts';

let pumps: Opened;
let clearance: Opened;
beforeAll(async () => {
  [pumps, clearance] = await Promise.all([openPack('marram-unit-pumps'), openPack('valve-clearance')]);
});

describe('the picture of a crank', () => {
  const drawn = (variant: string): string => {
    const { pack } = pumps;
    return (
      crankPicture(resolveVariant(pack, variant, new Report()), {
        heading: { pack: pack.title, ...(pack.notice === undefined ? {} : { notice: pack.notice }) },
      }) ?? ''
    );
  };

  it('shows spans, stops, turns and margins of five cylinders', () => {
    const svg = drawn('marram-five');
    const text = textOf(svg);
    // computed by hand from firing order 1-2-4-5-3: every 144°, in the order of the bores
    for (const [bore, angle] of [
      [1, 0],
      [2, 144],
      [3, 576],
      [4, 288],
      [5, 432],
    ])
      expect(text).toContain(`Bore ${bore} fires at ${angle}°`);
    expect(text).toContain('Turn 1 by 540°');
    expect(text).toContain('to B, 180° bores 5, 4, 3');
    expect(text).toContain('Least margin 38°');
    expect(text).toContain('The rotation plan starts here.');
    // Bores 1 and 3 are lifted over the end of the cycle: two pieces each, and one in the key.
    expect(svg.match(/fill="url\(#lobe\)"/g)).toHaveLength(5 + 2 + 1);
    // 70° before 144° is 74° of 720° on a scale that is 720 wide and begins at 130; the span is 320° long.
    expect(svg).toMatch(/<rect x="204" y="[\d.]+" width="320"/);
  });
  it('says what a screen reader reads, the notice, and whom it defers to', () => {
    const svg = drawn('marram-three');
    expect(svg).toMatch(/role="img" aria-labelledby="crank-title crank-description"/);
    expect(svg).toMatch(/<desc id="crank-description">Bore 1 fires at 0°\./);
    expect(textOf(svg)).toContain('Demonstration data.');
    expect(textOf(svg)).toContain('Ferrule never says that a job is safe.');
  });
  it('there is none without crank data', () => {
    const variants = { plain: { title: 'No crank' } };
    expect(
      crankPicture(resolveVariant({ ...pumps.pack, variants }, 'plain', new Report()), {}),
    ).toBeUndefined();
  });
});

describe('the graph of a procedure', () => {
  const part = (svg: string, from: string): string => textOf(svg.slice(svg.indexOf(from)));

  it('has each step once, loops and reworks, and says that nothing was refuted', () => {
    const plan = planOf(clearance.pack, 'set-clearances', 'marram-four');
    const svg = procedureGraph(plan, clearance.pack, { refutations: [], unreached: [], isCutShort: false });
    const text = textOf(svg);
    expect(text.match(/13\. Feel the clearance of inlet/g)).toHaveLength(2);
    expect(text).toContain('each bore: 1, 4, 2, 3');
    expect(part(svg, '</desc>')).toMatch(/Rework, at most 3 times .* then again from 13; after that hold H1/);
    expect(text).toContain('It is no proof of anything else.');
    expect(text).not.toContain('PROOF FAILED:');
  });

  it('marks where the proof failed, the way there, and what is not reached', () => {
    const procedure = clearance.pack.procedures['set-clearances'];
    if (procedure === undefined) throw new Error('there is no procedure');
    // An author forgets to take the cloths out again.
    const steps = procedure.steps.filter((node) => !('step' in node && node.step === 'cloths-out'));
    const procedures = { ...clearance.pack.procedures, 'set-clearances': { ...procedure, steps } };
    const pack = { ...clearance.pack, procedures };
    const plan = planOf(pack, 'set-clearances', 'marram-four');
    const { refutations, unreached } = explore(plan);
    expect(refutations).toHaveLength(1);
    const svg = procedureGraph(plan, pack, {
      refutations: refutations.map((one) => ({
        says: 'guard' in one ? one.guard.because.says : '',
        ...('node' in one ? { node: one.node } : {}),
        way: one.trace.map((step) => step.node),
      })),
      unreached,
      isCutShort: false,
    });
    const text = part(svg, '</desc>');
    expect(text).toContain(
      '1. There are cloths in the drain holes. Take them out before the cover goes on. The way there is marked A1',
    );
    expect(text).toMatch(/PROOF FAILED: 1 16\. Tighten the screws of the/);
    expect(text).toMatch(/way A10 CAUTION 10\. Stuff a cloth/);
    expect(text).toMatch(/NOT REACHED 17\. The turning tool is off/);
    expect(svg).toContain('stroke-width="4.5"');
  });

  it('shows holds with the ways on from them', () => {
    const plan = planOf(pumps.pack, 'install-and-synchronise', 'marram-four');
    const text = textOf(procedureGraph(plan, pumps.pack, undefined));
    expect(text).toMatch(/if nonconforming: HOLD H\d+, safety rework 2×, Service-engineering lead/);
    expect(text).toMatch(/Hold point HOLD H\d+, safety witness: Service-engineering lead/);
    expect(text).toContain('Not proved.');
    expect(text).toMatch(
      /only if “What keeps the rack from its full way\?” is answered “The guide is bent”: Change/,
    );
    expect(text).toMatch(/only if none of the other cases holds: Stone/);
  });
});
