import type { ReadingsCounted } from '@ferrule/compare/readings';

/** How many lie near a limit, and which part of those with a value that is: `14 (12 %)`. */
export function shareOf({ count, beyond, near }: ReadingsCounted): string {
  const all = count - beyond;
  if (near === undefined || all === 0) return '';
  return `${near} (${Math.round((near * 100) / all)} %)`;
}
