import type { Page } from 'playwright-core';

/** How far a screen runs over the edge, in pixels, and what on it is too small for a finger. */
export const overEdge = async (page: Page): Promise<unknown> =>
  page.evaluate(
    `[document.documentElement.scrollWidth - document.documentElement.clientWidth,
      ...[...document.querySelectorAll('button, a.main, a.second, select, summary, input')]
        .filter((one) => one.offsetParent !== null && !['radio', 'checkbox', 'file'].includes(one.type))
        .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect().height])
        .filter(([, height]) => height < 44)]`,
  );
