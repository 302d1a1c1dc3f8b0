const byNumber = new Intl.Collator('en', { numeric: true });

/** The older revision first: by its numbers, and one before a release before that release (SemVer 2.0.0, 11). */
export function revisionOrder(a: string, b: string): number {
  const [numbersOfA = '', ...restOfA] = a.split('-');
  const [numbersOfB = '', ...restOfB] = b.split('-');
  return (
    byNumber.compare(numbersOfA, numbersOfB) ||
    Number(restOfA.length === 0) - Number(restOfB.length === 0) ||
    byNumber.compare(restOfA.join('-'), restOfB.join('-'))
  );
}
