import { addressOf, goTo } from '../address.ts';

/** What was asked for by a form a moment ago, until its answer is shown. */
let justAsked: string | undefined;

/** Goes to a screen with what a form asks for in the address. What is left empty is not asked; of nothing the query is empty. */
export function askInAddress(screen: string, form: HTMLFormElement): void {
  const wanted = new URLSearchParams();
  for (const [name, value] of new FormData(form))
    if (typeof value === 'string' && value.trim() !== '') wanted.set(name, value.trim());
  justAsked = wanted.toString();
  goTo(`${addressOf(screen)}?${wanted}`);
}

/**
 * Leads to an answer that stands below its form, once, when somebody has just asked for it: on a small screen it would lie
 * out of sight. Whoever comes by the address or comes back stays where they were.
 */
export function leadToAnswer(asked: string, place: HTMLElement | null): void {
  if (place === null || justAsked !== new URLSearchParams(asked).toString()) return;
  justAsked = undefined;
  place.focus({ preventScroll: true });
  place.scrollIntoView();
}
