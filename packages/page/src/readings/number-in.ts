/** The number of `0.45 mm`, in the unit of the limits. */
export function numberIn(text: string | undefined): number | undefined {
  const number = Number.parseFloat((text ?? '').replace('−', '-'));
  return Number.isNaN(number) ? undefined : number;
}
