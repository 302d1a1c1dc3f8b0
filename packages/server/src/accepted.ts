/**
 * Which of some media types an Accept header likes best (RFC 9110, 12.5.1), the first of them where it has no wish; undefined where
 * it takes none.
 */
export function accepted<const T extends string>(
  header: string | undefined,
  types: readonly T[],
): T | undefined {
  const ranges = (header ?? '*/*').split(',').map((one) => {
    const [range = '', ...parameters] = one.split(';').map((part) => part.trim().toLowerCase());
    const weight = parameters.find((part) => part.startsWith('q='))?.slice(2);
    return { range, weight: weight === undefined ? 1 : Number(weight) || 0 };
  });
  const weightOf = (type: string): number => {
    const fits = [type, `${type.split('/')[0]}/*`, '*/*'].flatMap(
      (range) => ranges.find((one) => one.range === range)?.weight ?? [],
    );
    return fits[0] ?? 0;
  };
  const [best] = types.map((type) => ({ type, weight: weightOf(type) })).sort((a, b) => b.weight - a.weight);
  return best === undefined || best.weight === 0 ? undefined : best.type;
}
