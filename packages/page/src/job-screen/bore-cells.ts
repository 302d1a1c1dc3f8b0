import { type Job, PART, type Pack, type Plan } from '@ferrule/engine';

/** One tracked state at one place, as it is now, in the words of the pack. */
export interface StateNow {
  readonly name: string;
  readonly title: string;
  readonly value: string;
  /** As it was when the job began, and as it has to be when it ends. */
  readonly isAtRest: boolean;
}

export interface PartNow {
  readonly title: string;
  readonly says: string;
  readonly serial: string | undefined;
  /** Whether something was done with it, or it was found to be another one. */
  readonly isTouched: boolean;
}

const words = (name: string): string => name.replaceAll('-', ' ');

/** The tracked states of a bore, or of the engine as a whole. */
export function statesAt(
  plan: Plan,
  pack: Pack,
  { control }: Pick<Job, 'control'>,
  bore: number | undefined,
): readonly StateNow[] {
  return plan.cells.flatMap((cell, index) => {
    if (cell.cell !== 'state') return [];
    const [, place] = cell.name.split('@');
    if (place !== (bore === undefined ? undefined : String(bore))) return [];
    const value = cell.values[control.bytes[index] ?? 0] ?? '';
    const said = pack.states?.[cell.state];
    const ends = said?.ends;
    const rest = typeof ends === 'string' ? ends : cell.values[plan.starts[index] ?? 0];
    return [
      {
        name: cell.name,
        title: said?.title ?? words(cell.state),
        value: words(value),
        isAtRest: value === rest,
      },
    ];
  });
}

const partWords: Readonly<Record<number, string>> = {
  [PART.unknown]: 'not looked at',
  [PART.found]: 'found here',
  [PART.own]: 'the one found here',
  [PART.other]: 'of another place',
  [PART.renewed]: 'new',
  [PART.removed]: 'taken out',
};

/** The parts of a bore, or of the engine as a whole, with the serial number that was read last. */
export function partsAt(plan: Plan, pack: Pack, job: Job, bore: number | undefined): readonly PartNow[] {
  return plan.cells.flatMap((cell, index) => {
    if (cell.cell !== 'part') return [];
    const [, place] = cell.name.split('@');
    if (place !== (bore === undefined ? undefined : String(bore))) return [];
    const read = plan.entries.flatMap((entry, at) =>
      entry.entry === 'identity' && entry.place === cell.name ? (job.taken[at] ?? []) : [],
    );
    const latest = read.sort((a, b) => a.seq - b.seq).at(-1);
    const value = job.control.bytes[index] ?? 0;
    return [
      {
        title: pack.parts?.[cell.part]?.title ?? words(cell.part),
        says: partWords[value] ?? '',
        isTouched: value !== PART.unknown && value !== PART.found,
        serial: latest?.text,
      },
    ];
  });
}
