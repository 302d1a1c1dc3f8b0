import type { Amount } from '../quantity/index.ts';
import type { Lack, Value } from './answer.ts';
import { type Type, writeType } from './type.ts';

/** Whether a recorded value is of the declared type; a value of another type must count as none. */
export function fits(value: Value, type: Type): boolean {
  switch (type.type) {
    case 'amount':
      return isAmount(value) && value.kind === type.kind;
    case 'text':
      return typeof value === 'string' && (type.among?.includes(value) ?? true);
    case 'truth':
      return typeof value === 'boolean';
    case 'list':
      return false;
  }
}

/** Hosts write JavaScript as well: anything may come in, a list or null among it. */
export const isAmount = (value: Value): value is Amount =>
  typeof value === 'object' && value !== null && 'kind' in value;

/** Why a name has no value of its type. */
export function lackOf(name: string, value: Value | undefined, type: Type): Lack {
  if (value === undefined) return { lack: 'missing', name };
  const found = isAmount(value)
    ? writeType({ type: 'amount', kind: value.kind })
    : typeof value === 'string'
      ? `the text ${JSON.stringify(value)}`
      : typeof value === 'boolean'
        ? `the truth ${value}`
        : 'something else';
  return { lack: 'unfit', name, found, expected: writeType(type) };
}
