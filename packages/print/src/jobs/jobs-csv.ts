import { csvCell } from '../csv-cell.ts';

/** What a row says of a job. */
export interface JobListed {
  readonly job: string;
  readonly state: string;
  readonly signed: boolean;
  readonly pack: { readonly id: string; readonly revision: string; readonly digest: string };
  readonly overlay?: { readonly id: string; readonly revision: string };
  readonly procedure: string;
  readonly variant: string;
  readonly engine?: string;
  readonly started: string;
  readonly last: string;
  readonly persons: readonly string[];
  readonly instruments: readonly string[];
  readonly parts: readonly string[];
  readonly lots: readonly string[];
  readonly holds: readonly string[];
  readonly granted: readonly { readonly of: string; readonly by: string }[];
  readonly nonconforming: number;
}

/** The columns of a list of jobs, in order. Several things in a cell are parted by a semicolon. */
export const jobColumns = [
  ...(['job', 'state', 'signed', 'pack', 'revision', 'digest', 'overlay', 'procedure', 'variant'] as const),
  ...(['engine', 'started', 'last', 'persons', 'instruments', 'parts', 'lots', 'holds'] as const),
  ...(['concessions', 'nonconforming'] as const),
] as const;

/** Jobs as rows, with a first line of names; lines are ended by CR LF as RFC 4180 wants it. */
export function jobsCsv(jobs: readonly JobListed[]): string {
  const all = (texts: readonly string[]): string => texts.join('; ');
  const rows = jobs.map((one) => {
    const { pack, overlay } = one;
    const cells: Readonly<Record<(typeof jobColumns)[number], string | number | undefined>> = {
      ...{ job: one.job, state: one.state, signed: one.signed ? 'yes' : 'no' },
      ...{ pack: pack.id, revision: pack.revision, digest: pack.digest },
      overlay: overlay && `${overlay.id} ${overlay.revision}`,
      ...{ procedure: one.procedure, variant: one.variant, engine: one.engine },
      ...{ started: one.started, last: one.last },
      ...{ persons: all(one.persons), instruments: all(one.instruments), parts: all(one.parts) },
      ...{ lots: all(one.lots), holds: all(one.holds), nonconforming: one.nonconforming },
      concessions: all(one.granted.map(({ of, by }) => `${of} by ${by}`)),
    };
    return jobColumns.map((column) => csvCell(cells[column])).join(',');
  });
  return [jobColumns.join(','), ...rows, ''].join('\r\n');
}
