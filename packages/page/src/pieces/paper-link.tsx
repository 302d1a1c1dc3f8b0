import type { ComponentChildren } from 'preact';
import { token } from '../link/call.ts';

/** Addresses of what is printed. */
export const paperOf = {
  card: (job: string): string => `/jobs/${encodeURIComponent(job)}/card`,
  sheet: (pack: string, revision: string, procedure: string, variant: string): string =>
    `/packs/${encodeURIComponent(pack)}/${encodeURIComponent(revision)}/sheet?${new URLSearchParams({ procedure, variant })}`,
};

/** Whether papers open here: where the server asks for its token the browser has to keep the page, which then sends it along. */
const canOpen = (): boolean =>
  token.get() === undefined || (navigator.serviceWorker as ServiceWorkerContainer | undefined) !== undefined;

/** Opens what is printed, in a tab of its own: a card, a sheet to be filled in by hand, a report. */
export function PaperLink({
  to,
  class: looks = 'paper',
  children,
}: {
  readonly to: string;
  readonly class?: string;
  readonly children: ComponentChildren;
}) {
  return canOpen() ? (
    <a class={looks} href={to} target="_blank" rel="noreferrer">
      {children}
    </a>
  ) : (
    <span class="entry-hint">
      {children}: a server with a token sends this to a page that came by TLS. In a terminal, ferrule writes
      it.
    </span>
  );
}
