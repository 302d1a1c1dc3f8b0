import { explore } from '@ferrule/engine/proof';
import { median } from './contest.ts';
import { planFor, readDemoPack } from './demo-pack.ts';
import { duration, type Row } from './row.ts';

const ROUNDS = 5;

/** How long it takes to resolve each variant of the demonstration pack, and to explore every way through its plan. */
export async function measureProof(): Promise<readonly Row[]> {
  const pack = await readDemoPack();
  const rows: Row[] = [];
  for (const variant of Object.keys(pack.variants)) {
    const plan = planFor(pack, variant);
    const times: number[] = [];
    let states = 0;
    for (let round = 0; round < ROUNDS; round++) {
      const before = process.hrtime.bigint();
      states = explore(plan).states;
      times.push(Number(process.hrtime.bigint() - before));
    }
    const spent = median(times);
    const rate = Math.round((states / spent) * 1e9).toLocaleString('en');
    rows.push({
      measure: 'proof: every way through the plan',
      of: `${variant}, ${plan.nodes.length} nodes, ${states.toLocaleString('en')} states`,
      value: `${duration(spent)}, ${rate} states a second`,
    });
  }
  return rows;
}
