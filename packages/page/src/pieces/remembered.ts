import type { InstrumentUsed } from '@ferrule/engine';
import { signal } from '@preact/signals';
import { onDevice } from '../link/text-store.ts';

/** Somebody who took part in a job on this device, and in which roles. */
export interface RememberedPerson {
  readonly person: string;
  readonly roles: readonly string[];
}

interface Remembered {
  readonly people: readonly RememberedPerson[];
  readonly instruments: readonly InstrumentUsed[];
}

const KEY = 'ferrule-remembered';
/** More than a workshop has at one bench; the oldest are forgotten first. */
const MOST = 40;

/** People and instruments that were named on this device, the latest first. They never leave it but in the jobs that name them. */
export const remembered = signal<Remembered>(read());

/** The people who had a role before, and behind them the others. */
export const peopleFor = (role: string): readonly string[] =>
  [...remembered.value.people]
    .sort((a, b) => Number(b.roles.includes(role)) - Number(a.roles.includes(role)))
    .map(({ person }) => person);

export const instrumentsOfKind = (kind: string): readonly InstrumentUsed[] =>
  remembered.value.instruments.filter((one) => one.kind === kind);

export function rememberPerson(person: string, role: string): void {
  const { people } = remembered.value;
  const before = people.find((one) => one.person === person)?.roles ?? [];
  const known = { person, roles: [...new Set([...before, role])] };
  keep({ people: [known, ...people.filter((one) => one.person !== person)] });
}

export function rememberInstrument(used: InstrumentUsed): void {
  keep({ instruments: [used, ...remembered.value.instruments.filter((one) => !isSame(one, used))] });
}

export const forgetPerson = (person: string): void =>
  keep({ people: remembered.value.people.filter((one) => one.person !== person) });

export const forgetInstrument = (used: InstrumentUsed): void =>
  keep({ instruments: remembered.value.instruments.filter((one) => !isSame(one, used)) });

const isSame = (a: InstrumentUsed, b: InstrumentUsed): boolean =>
  a.kind === b.kind && a.identity === b.identity;

function keep(changed: Partial<Remembered>): void {
  const { people, instruments } = { ...remembered.value, ...changed };
  remembered.value = { people: people.slice(0, MOST), instruments: instruments.slice(0, MOST) };
  onDevice.set(KEY, JSON.stringify(remembered.value));
}

/** What was kept; what does not look like it, from another version for instance, is left aside. */
function read(): Remembered {
  const kept = keptText();
  return {
    people: listIn(kept, 'people').filter(isPerson),
    instruments: listIn(kept, 'instruments').filter(isInstrument),
  };
}

function keptText(): unknown {
  try {
    return JSON.parse(onDevice.get(KEY) ?? '{}');
  } catch {
    return {};
  }
}

function listIn(kept: unknown, name: string): readonly unknown[] {
  const list: unknown = typeof kept === 'object' && kept !== null ? Reflect.get(kept, name) : undefined;
  return Array.isArray(list) ? list : [];
}

function textIn(one: unknown, name: string): boolean {
  return typeof one === 'object' && one !== null && typeof Reflect.get(one, name) === 'string';
}

function isPerson(one: unknown): one is RememberedPerson {
  return textIn(one, 'person') && listIn(one, 'roles').every((role) => typeof role === 'string');
}

function isInstrument(one: unknown): one is InstrumentUsed {
  return textIn(one, 'kind') && textIn(one, 'identity');
}
