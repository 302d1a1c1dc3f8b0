/** What a line between two posts says: it runs through, it is broken, it has a kink, something lies beside it, or its end is not seen. */
export type LineMarked = 'through' | 'broken' | 'kinked' | 'beside' | 'half-seen';

const lines: Readonly<Record<LineMarked, string>> = {
  through: 'M5 12H39',
  broken: 'M5 12H16l4-8M39 12H28l-4 8',
  kinked: 'M5 14H15l7-10 7 10H39',
  beside: 'M5 16H39',
  'half-seen': 'M5 12H20M24 12h3M31 12h3M38 12h1',
};

/** A mark that is read without colour. What it says stands beside it as a word. */
export function LineMark({ line }: { readonly line: LineMarked }) {
  return (
    <svg class="line-mark" viewBox="0 0 44 24" aria-hidden="true">
      <path class="post" d="M5 5v14M39 5v14" />
      <path class="run" d={lines[line]} />
      {line === 'beside' ? <circle class="ball" cx="22" cy="7" r="3.2" /> : null}
    </svg>
  );
}
