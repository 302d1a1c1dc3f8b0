import type { PlaceInPack } from './examination.ts';

/** Where something is written: file, line and column. */
export const PlaceNamed = ({ place }: { readonly place: PlaceInPack | undefined }) =>
  place === undefined ? null : (
    <span class="place">
      {place.file}
      <wbr />
      {`:${place.line}:${place.column}`}
    </span>
  );

/** The line that is written there, with what is meant underlined. */
export function LineShown({ place }: { readonly place: PlaceInPack | undefined }) {
  if (place?.text === undefined) return null;
  const { from, text } = place.text;
  const start = place.column - from;
  const end = place.endLine > place.line ? text.length : place.endColumn - from;
  // The indentation says nothing here, and takes room on a small screen.
  const margin = Math.min(text.search(/\S|$/), Math.max(0, start));
  return (
    <pre class="source-line">
      <span class="line-number">{place.line}</span>
      <code>
        {text.slice(margin, start)}
        <mark>{text.slice(start, Math.max(end, start + 1))}</mark>
        {text.slice(Math.max(end, start + 1)).trimEnd()}
      </code>
    </pre>
  );
}
