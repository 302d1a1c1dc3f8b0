import { packAddress } from './pack-address.ts';

/** What of a pack is shown. */
export type PackPart = 'found' | 'proof' | 'trials';

/** The way between the parts of what is known of a pack. */
export function PackParts({
  of,
  at,
}: {
  readonly of: Parameters<typeof packAddress>[0];
  readonly at: PackPart | undefined;
}) {
  const link = (part: PackPart) => ({
    href: packAddress(of, part),
    'aria-current': part === at ? ('page' as const) : undefined,
  });
  return (
    <nav class="pack-parts" aria-label="Of this pack">
      <a {...link('found')}>What was found</a>
      <a {...link('proof')}>What is proved</a>
      <a {...link('trials')}>Trials</a>
    </nav>
  );
}
