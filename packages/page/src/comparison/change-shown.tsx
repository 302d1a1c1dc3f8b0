import type { ComparedChange, ComparedStated, ComparisonDocument } from '@ferrule/compare/document';
import { changePlace } from '@ferrule/print';
import { readingsAddress } from '../readings/readings-address.ts';
import { SpansShown } from './spans-shown.tsx';
import { shelfOf } from './weights.tsx';
import { type Stretch, wordsOtherwise } from './words-otherwise.ts';

/** A value that is longer than this is prose: it is set as text, and what is otherwise in it is marked. */
const LONG = 60;

/** One change: the sentence, both values with the limits drawn, what kind of change it is, and where it stands. */
export function ChangeShown({
  change,
  document: { pack, before, after },
}: {
  readonly change: ComparedChange;
  readonly document: ComparisonDocument;
}) {
  const { says, effect, needs, variants, kind, name, weight, limits = [] } = change;
  const shelf = shelfOf(change);
  return (
    <article class={`change change-${shelf}`}>
      <p class="change-says">{shelf === 'trial' ? says : withoutProse(change)}</p>
      {shelf === 'trial' ? null : <Sides change={change} before={before} after={after} />}
      {limits.map((pair) => (
        <SpansShown
          key={pair.variants.join(' ')}
          pair={pair}
          names={[before.revision, after.revision]}
          isOfAll={limits.length === 1 && variants === undefined}
        />
      ))}
      <p class="change-marks">
        {effect === undefined ? null : (
          <b class={`effect-${effect}`}>{effect === 'weaker' ? 'protects less' : 'protects more'}</b>
        )}
        <span>{change.change}</span>
        <span>asks for a {needs} revision</span>
        {variants === undefined ? null : <span>for {variants.join(', ')}</span>}
      </p>
      {limits.length === 0 || kind !== 'tolerance' || weight === 'wording' ? null : (
        <a class="change-readings" href={readingsAddress(pack.id, name.slice(name.lastIndexOf('/') + 1))}>
          How readings lie against these limits
        </a>
      )}
    </article>
  );
}

/** The sentence without the prose that stands below it, where it would be read twice. */
function withoutProse({ says, before, after }: ComparedChange): string {
  const prose = [before, after].flatMap((one) => {
    const text = one?.says.replace(/\s+/g, ' ').trim() ?? '';
    return text.length > LONG ? [text] : [];
  });
  const sentence = prose.reduce((all, text) => all.split(text).join('…'), says);
  // Prose that was the whole of the last sentence leaves nothing to be read of it.
  return sentence.replace(/(?<=\.) …\.?$/, '');
}

function Sides({
  change: { before: was, after: is },
  before,
  after,
}: { readonly change: ComparedChange } & Pick<ComparisonDocument, 'before' | 'after'>) {
  const [wasSays, isSays] = wordsOtherwise(was?.says ?? '', is?.says ?? '');
  if (was === undefined && is === undefined) return null;
  if (was === undefined)
    return <Side label={`New in ${after.revision}`} name={after.name} stated={is} says={isSays} />;
  if (is === undefined)
    return <Side label={`Gone since ${before.revision}`} name={before.name} stated={was} says={wasSays} />;
  return (
    <div class="change-two">
      <Side label={`Before, ${before.revision}`} name={before.name} stated={was} says={wasSays} />
      <Side label={`Now, ${after.revision}`} name={after.name} stated={is} says={isSays} />
    </div>
  );
}

function Side({
  label,
  name,
  stated,
  says,
}: {
  readonly label: string;
  readonly name: string;
  readonly stated: ComparedStated | undefined;
  readonly says: readonly Stretch[];
}) {
  if (stated === undefined) return null;
  return (
    <div class="side">
      <p class="side-label">{label}</p>
      <p class={stated.says.length > LONG ? 'side-words' : 'side-value'}>
        {says.map(({ text, isOtherwise }) =>
          isOtherwise ? [<mark key={text}>{text.trimEnd()}</mark>, ' '] : text,
        )}
      </p>
      {stated.other === undefined ? null : <p class="side-other">{stated.other}</p>}
      <p class="side-place">{changePlace(name, stated)}</p>
    </div>
  );
}
