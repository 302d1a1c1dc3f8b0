import { pointerTo } from '@ferrule/engine';

type Written = Readonly<Record<string, unknown>>;

/** Every map inside a written value, itself among them, in the order of writing, with its pointer (RFC 6901). */
export function* mapsIn(
  value: unknown,
  pointer: string,
): Generator<readonly [map: Written, pointer: string]> {
  if (typeof value !== 'object' || value === null) return;
  if (!Array.isArray(value)) yield [value as Written, pointer];
  for (const [key, inside] of Object.entries(value)) yield* mapsIn(inside, pointerTo(pointer, key));
}
