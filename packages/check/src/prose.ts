import { type Pack, pointerTo } from '@ferrule/engine';

/** A text for people, and where it stands. */
export interface Prose {
  readonly text: string;
  /** RFC 6901. */
  readonly pointer: string;
}

const keys: ReadonlySet<string> = new Set([
  'do',
  'title',
  'text',
  'says',
  'note',
  'photograph',
  'turn-until',
  'proved-by',
  'instructions',
  'measurand',
  'held-by',
]);

/** Keys under which every text is prose, whatever its own key. */
const lists: ReadonlySet<string> = new Set(['answers', 'due-next']);

const made = new WeakMap<Pack, readonly Prose[]>();

/**
 * Every text of a pack that people read, in the order of writing; not those of trials, and not what an author keeps. Made
 * once for a pack.
 */
export function proseOf(pack: Pack): readonly Prose[] {
  const known = made.get(pack);
  if (known !== undefined) return known;
  const found = [...inPack(pack)];
  made.set(pack, found);
  return found;
}

function* inPack(pack: Pack): Generator<Prose> {
  for (const [section, value] of Object.entries(pack))
    if (section !== 'trials') yield* within(value, pointerTo('', section), keys.has(section));
}

/** Every text for people inside a part of a pack. */
export function* proseWithin(value: unknown, pointer: string): Generator<Prose> {
  yield* within(value, pointer, false);
}

function* within(value: unknown, pointer: string, isProse: boolean): Generator<Prose> {
  if (typeof value === 'string') {
    if (isProse) yield { text: value, pointer };
    return;
  }
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inside] of Object.entries(value)) {
    if (key.startsWith('x-') || key === 'logic' || key === 'is') continue;
    const isHere = Array.isArray(value) ? isProse : keys.has(key) || (isProse && typeof inside === 'string');
    yield* within(inside, pointerTo(pointer, key), isHere || lists.has(key));
  }
}
