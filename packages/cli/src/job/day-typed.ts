import { InvalidArgumentError } from 'commander';

/** A day as it was typed, such as 2026-03-02. */
export function dayTyped(text: string): string {
  const isDay = /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(`${text}T00:00:00Z`));
  if (!isDay || new Date(`${text}T00:00:00Z`).toISOString().slice(0, 10) !== text)
    throw new InvalidArgumentError('It is a day, such as 2026-03-02.');
  return text;
}
