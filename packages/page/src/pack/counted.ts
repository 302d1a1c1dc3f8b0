/** `1 file`, `1,204 states`: a number with its noun. */
export const counted = (count: number, one: string, more: string): string =>
  `${grouped(count)} ${count === 1 ? one : more}`;

/** A whole number with a comma before each three digits. */
export const grouped = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');
