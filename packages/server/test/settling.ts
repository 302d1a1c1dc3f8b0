import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** A pack with a wait in it, and nothing else; invented. */
const pack = `format: 1
pack: settling
revision: 1.0.0
title: Settling
source: Invented for this test
notice: Demonstration data, invented.
roles:
  technician: { title: Technician }
variants:
  any-engine: { title: Any engine }
`;
const settle = `procedure: settle
title: Let it settle
source: Invented for this test
preliminary: { conditions: [], persons: [technician], equipment: [], supplies: [], spares: [], safety: [] }
steps:
  - step: stop
    do: Stop the engine.
  - step: settle
    wait: 10 min
`;

/** Puts the pack on a shelf, and answers its folder. */
export function putSettling(shelf: string): string {
  const folder = join(shelf, 'settling/1.0.0');
  mkdirSync(join(folder, 'procedures'), { recursive: true });
  writeFileSync(join(folder, 'pack.yaml'), pack);
  writeFileSync(join(folder, 'procedures/settle.yaml'), settle);
  return folder;
}

/** What a job of it is begun with. */
export const settlingJob = {
  ...{ pack: 'settling', revision: '1.0.0', procedure: 'settle', variant: 'any-engine' },
  persons: [{ role: 'technician', person: 'technician A' }],
  instruments: [],
};
