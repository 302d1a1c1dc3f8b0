import { nearest } from '../logic/index.ts';
import { type Command, commandNames } from './command.ts';
import {
  among,
  count,
  isObject,
  listOf,
  type Members,
  misformed,
  namedInstrumentForm,
  optional,
  personsForm,
  photographForm,
  text,
  truth,
} from './form.ts';
import { originForm } from './origin.ts';
import type { Refusal } from './refusal.ts';

const forms: Readonly<Record<Command['command'], Members>> = {
  acknowledge: { step: text },
  done: {
    step: text,
    together: optional(text),
    instrument: optional(text),
    photograph: optional(photographForm),
  },
  omit: { step: text, reason: text },
  record: {
    entry: text,
    value: text,
    instrument: optional(text),
    insist: optional(truth),
    held: optional(truth),
  },
  carry: { entry: text, origin: originForm },
  witness: { step: text },
  release: { by: among(['concession', 'rework', 'witness']), reason: text },
  strike: { target: count, reason: text, insist: optional(truth) },
  equip: { instrument: namedInstrumentForm },
  allow: { instrument: text, because: among(['beyond-instrument', 'instrument-overdue']), reason: text },
  'out-of-stock': { stock: text, size: text, back: optional(truth) },
  join: { role: text, person: text },
  note: { text },
  park: { reason: text },
  resume: { confirmed: listOf(text) },
  close: {},
  abandon: { reason: text },
};

const known: ReadonlyMap<unknown, Members> = new Map(Object.entries(forms));

/** A refusal of what is no command, or lacks something, whatever the types of its caller say. */
export function refusedCommand(command: unknown): Refusal | undefined {
  const name = isObject(command) ? command['command'] : undefined;
  const members = known.get(name);
  if (!isObject(command) || members === undefined) {
    const close = typeof name === 'string' ? nearest(name, commandNames) : undefined;
    return {
      code: 'not-offered',
      message: `There is no such command${close === undefined ? '' : `; did you mean ${close}?`}`,
      remedy: `Commands: ${commandNames.join(', ')}.`,
    };
  }
  return unreadable(misformed(command, members), String(name));
}

/** A refusal of a request to start a job that lacks something. */
export function refusedRequest(request: unknown): Refusal | undefined {
  const members = { bundle: text, persons: personsForm, instruments: listOf(namedInstrumentForm) };
  return unreadable(isObject(request) ? misformed(request, members) : 'bundle', 'start');
}

const unreadable = (member: string | undefined, of: string): Refusal | undefined =>
  member === undefined
    ? undefined
    : {
        code: 'wrong-shape',
        message: `${member} of ${of} is missing, or is not written as it has to be.`,
        remedy: `Give ${member}; values, names and reasons are texts.`,
        about: member,
      };
