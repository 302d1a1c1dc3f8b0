import { pointerTo } from '@ferrule/engine';
import type { At, Comparison } from './comparison.ts';
import { has, listOf, type Mapping, mappingOf } from './json.ts';
import { interlockKeys } from './keys.ts';
import { renamesOf } from './renames.ts';
import { stated } from './say.ts';

/** The laws, whatever their order. */
export function compareLaws(c: Comparison): void {
  const keyed = (value: unknown) =>
    new Map(
      listOf(value).map(
        (one, index) => [String(mappingOf(one)['law']), { law: mappingOf(one), index }] as const,
      ),
    );
  const before = keyed(c.was['interlocks']);
  const after = keyed(c.is['interlocks']);
  const plain = (laws: typeof before) =>
    Object.fromEntries([...laws].map(([name, { law }]) => [name, { ...law, law: '' }]));
  const renamed = renamesOf(plain(before), plain(after));
  for (const [name, { law, index }] of before) {
    const now = renamed.get(name) ?? name;
    const to = after.get(now);
    const at: At = {
      kind: 'law',
      name: now,
      scope: '',
      before: pointerTo('/interlocks', index),
      after: to === undefined ? '' : pointerTo('/interlocks', to.index),
    };
    if (to === undefined) {
      c.add(at, 'weakened', 'safety', {
        before: stated(at.before, String(law['says'])),
        effect: 'weaker',
      });
      continue;
    }
    if (now !== name)
      c.add(at, 'renamed', 'wording', {
        before: stated(at.before, name),
        after: stated(at.after, now),
      });
    const form = (one: Mapping) => ['while', 'operation', 'entering', 'never'].find((key) => has(one, key));
    if (form(law) === form(to.law)) c.keys(at, interlockKeys, law, to.law);
    else
      c.add(at, 'rule-changed', 'safety', {
        before: stated(at.before, String(law['says'])),
        after: stated(at.after, String(to.law['says'])),
      });
  }
  const kept = new Set([...before.keys()].map((name) => renamed.get(name) ?? name));
  for (const [name, { law, index }] of after) {
    if (kept.has(name)) continue;
    const at: At = { kind: 'law', name, scope: '', before: '', after: pointerTo('/interlocks', index) };
    c.add(at, 'strengthened', 'safety', {
      after: stated(at.after, String(law['says'])),
      effect: 'stronger',
    });
  }
}
