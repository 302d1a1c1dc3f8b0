import { addressOf } from '../address.ts';

/** What of a pack is shown. */
export type PackPart = 'found' | 'proof' | 'trials';

const parts = {
  found: 'What was found',
  proof: 'What is proved',
  trials: 'Trials',
} as const satisfies Readonly<Record<PackPart, string>>;

/** The way between the parts of what is known of a pack. */
export function PackParts({
  pack,
  revision,
  at,
}: {
  readonly pack: string;
  readonly revision: string;
  readonly at: PackPart | undefined;
}) {
  const link = (part: PackPart) => ({
    href: addressOf('pack', pack, revision, part),
    'aria-current': part === at ? ('page' as const) : undefined,
  });
  return (
    <nav class="pack-parts" aria-label="Of this pack">
      <a {...link('found')}>{parts.found}</a>
      <a {...link('proof')}>{parts.proof}</a>
      <a {...link('trials')}>{parts.trials}</a>
    </nav>
  );
}
