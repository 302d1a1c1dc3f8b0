import type { Pack } from '@ferrule/engine';

/** What a text may try: tags, the ends of elements that hold it, quotes of attributes, entities, a turn of direction. */
export const hostile =
  '<img src=x onerror="document.title=1">\'"`&lt;</style></title></svg></table>]]>--><script>document.title=2</script><a href="javascript:1">\u202egnp';

/** Keys whose values a pack writes for people. */
const texts = new Set([
  ...['title', 'text', 'says', 'do', 'notice', 'source', 'measurand', 'held-by', 'running-direction'],
  ...['instructions', 'proved-by', 'note', 'turn-until', 'revision'],
]);

/** The pack with every text for people made hostile; what a text has of place-holders stays in front. */
export function hostilePack(pack: Pack): Pack {
  const change = (value: unknown, key: string): unknown => {
    if (Array.isArray(value)) return value.map((item) => change(item, key));
    if (typeof value === 'object' && value !== null)
      return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, change(item, name)]));
    const isText = texts.has(key) || key === 'due-next';
    return typeof value === 'string' && isText ? `${value}${hostile}` : value;
  };
  const answers = (made: Pack): Pack => ({
    ...made,
    procedures: Object.fromEntries(
      Object.entries(made.procedures).map(([id, procedure]) => [
        id,
        {
          ...procedure,
          observations: Object.fromEntries(
            Object.entries(procedure.observations ?? {}).map(([name, one]) => [
              name,
              {
                ...one,
                answers: Object.fromEntries(
                  Object.entries(one.answers).map(([answer, text]) => [answer, `${text}${hostile}`]),
                ),
              },
            ]),
          ),
        },
      ]),
    ),
  });
  return answers(change(pack, '') as Pack);
}
