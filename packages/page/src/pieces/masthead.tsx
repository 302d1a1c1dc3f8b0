import type { ComponentChildren } from 'preact';
import { ThemeSwitch } from './theme-switch.tsx';

/** What every screen has around it: where one is, the way back, and light or dark. */
export function Masthead({
  title,
  under,
  back,
  backTo = 'All jobs',
  aside,
  children,
}: {
  readonly title: string;
  readonly under?: string;
  readonly back?: string;
  /** What lies behind the way back, for those who do not see its mark. */
  readonly backTo?: string;
  readonly aside?: ComponentChildren;
  readonly children: ComponentChildren;
}) {
  return (
    <>
      <header class="masthead">
        {back === undefined ? null : (
          <a class="back" href={back}>
            <span class="unseen">{backTo}</span>
            <svg viewBox="0 0 20 20" aria-hidden="true">
              <path d="M13 3 6 10l7 7" />
            </svg>
          </a>
        )}
        <div class="masthead-title">
          <h1>{title}</h1>
          {under === undefined ? null : <p>{under}</p>}
        </div>
        {aside}
        <ThemeSwitch />
      </header>
      {children}
    </>
  );
}
