const units = [
  ['day', 86_400],
  ['hour', 3600],
  ['minute', 60],
] as const;

/** How old something is, in whole units and rounded down: `5 days`, `3 hours`. `from` and `to` are RFC 3339 times. */
export function writeAge(from: string, to: string): string {
  const seconds = (Date.parse(to) - Date.parse(from)) / 1000;
  for (const [name, size] of units) {
    const count = Math.floor(seconds / size);
    if (count >= 1) return `${count} ${name}${count === 1 ? '' : 's'}`;
  }
  return 'less than a minute';
}
