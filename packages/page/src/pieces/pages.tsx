import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { grouped } from '../pack/counted.ts';

/**
 * Some of very many at a time, with the way to all the others; `label` says of what. It begins at the first again when
 * `all` is another list.
 */
export function Pages<T>({
  all,
  atOnce,
  label,
  children,
}: {
  readonly all: readonly T[];
  readonly atOnce: number;
  readonly label: string;
  readonly children: (some: readonly T[]) => ComponentChildren;
}) {
  const [at, setAt] = useState(0);
  const top = useRef<HTMLDivElement>(null);
  useEffect(() => setAt(0), [all]);
  const count = Math.max(1, Math.ceil(all.length / atOnce));
  const page = Math.min(at, count - 1);
  const from = page * atOnce;
  const go = (to: number): void => {
    setAt(Math.max(0, Math.min(count - 1, to)));
    top.current?.scrollIntoView();
  };
  return (
    <div class="paged" ref={top}>
      {children(all.slice(from, from + atOnce))}
      {count === 1 ? null : (
        <nav class="pages" aria-label={label}>
          <button type="button" class="second" disabled={page === 0} onClick={() => go(page - 1)}>
            Back
          </button>
          <p role="status">
            {`${grouped(from + 1)} to ${grouped(Math.min(all.length, from + atOnce))} of ${grouped(all.length)}`}
          </p>
          <button type="button" class="second" disabled={page === count - 1} onClick={() => go(page + 1)}>
            On
          </button>
          <label>
            Page
            <input
              type="number"
              inputMode="numeric"
              min={1}
              max={count}
              value={page + 1}
              onChange={({ currentTarget }) => go(Math.round(Number(currentTarget.value) || 1) - 1)}
            />
          </label>
          <p class="pages-of">of {grouped(count)}</p>
        </nav>
      )}
    </div>
  );
}
