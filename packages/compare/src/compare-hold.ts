import { pointerTo } from '@ferrule/engine';
import { compareNodes } from './compare-nodes.ts';
import type { At, Comparison } from './comparison.ts';
import { has, isText, listOf, type Mapping, mappingOf } from './json.ts';
import { releaseKeys, reworkKeys } from './keys.ts';
import { matchNodes, placeNodes } from './match-nodes.ts';
import { describeRemedy, stated } from './say.ts';

/** Who may release a hold, and how. */
export function compareReleases(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  const keyed = (value: unknown) =>
    new Map(
      listOf(value).map((one, index) => {
        const release = mappingOf(one);
        const who = release['concession'] ?? release['witness'] ?? '';
        const kind = ['concession', 'witness', 'rework'].find((key) => has(release, key)) ?? '';
        return [
          `${kind} ${c.renames.now(String(isText(who) ? who : ''), 'roles', '')}`.trim(),
          { release, index },
        ] as const;
      }),
    );
  const before = keyed(was['release']);
  const after = keyed(is['release']);
  for (const [who, { release, index }] of before) {
    const now = after.get(who);
    const pointer = pointerTo(at.before, 'release', index);
    if (now === undefined) {
      c.add(at, 'hold-changed', 'conformity', {
        key: 'release',
        before: stated(pointer, who),
        ...(who.startsWith('concession') ? { effect: 'stronger' as const } : {}),
      });
      continue;
    }
    const inner = { ...at, before: pointer, after: pointerTo(at.after, 'release', now.index) };
    c.keys(inner, releaseKeys, release, now.release);
    compareNodes(
      c,
      inner,
      matchNodes(
        placeNodes(release['rework'], pointerTo(pointer, 'rework')),
        placeNodes(now.release['rework'], pointerTo(inner.after, 'rework')),
      ),
    );
  }
  for (const [who, { index }] of after)
    if (!before.has(who))
      c.add(at, 'hold-changed', 'conformity', {
        key: 'release',
        after: stated(pointerTo(at.after, 'release', index), who),
        ...(who.startsWith('concession') ? { effect: 'weaker' as const } : {}),
      });
}

/** What follows a bad result. */
export function compareRemedy(c: Comparison, at: At, key: string, was: unknown, is: unknown): void {
  const before = mappingOf(was);
  const after = mappingOf(is);
  const pointers = { before: pointerTo(at.before, key), after: pointerTo(at.after, key) };
  if (was === undefined || is === undefined) {
    const effect = is === undefined ? 'weaker' : 'stronger';
    return c.differ(
      at,
      key,
      'hold-changed',
      'conformity',
      was === undefined ? undefined : describeRemedy(before),
      is === undefined ? undefined : describeRemedy(after),
      effect,
    );
  }
  if (has(before, 'when-high') && has(after, 'when-high')) {
    const inner = { ...at, ...pointers };
    for (const side of ['when-high', 'when-low']) compareRemedy(c, inner, side, before[side], after[side]);
    return;
  }
  if (has(before, 'rework') && has(after, 'rework'))
    return c.keys({ ...at, ...pointers }, reworkKeys, before, after);
  const held = isText(before['hold'])
    ? c.renames.now(c.renames.now(before['hold'], 'holds', at.scope), 'holds', '')
    : undefined;
  if (held !== undefined && held === after['hold']) return;
  c.differ(at, key, 'hold-changed', 'conformity', describeRemedy(before), describeRemedy(after));
}
