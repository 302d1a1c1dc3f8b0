import type { WrittenVerdict } from '@ferrule/engine';

type Word = WrittenVerdict['verdict'];

/**
 * A mark that is read without colour: the limits are two posts and the value a ball. Between them it conforms; outside, with a bar
 * through it, it does not; on the post it cannot be said.
 */
export function VerdictMark({ verdict }: { readonly verdict: Word }) {
  return (
    <svg class="verdict-mark" viewBox="0 0 44 24" role="img" aria-label={verdict}>
      <path class="post" d="M8 3v18M28 3v18" />
      {verdict === 'conforming' ? <circle class="ball" cx="18" cy="12" r="6" /> : null}
      {verdict === 'inconclusive' ? <circle class="ball ball-open" cx="28" cy="12" r="6" /> : null}
      {verdict === 'nonconforming' ? (
        <>
          <circle class="ball" cx="37" cy="12" r="6" />
          <path class="bar" d="M32 20 42 4" />
        </>
      ) : null}
    </svg>
  );
}
