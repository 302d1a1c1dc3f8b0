import { addressOf, goTo } from '../address.ts';

/** Goes to a screen with what a form asks for in the address. What is left empty is not asked. */
export function askInAddress(screen: string, form: HTMLFormElement): void {
  const wanted = new URLSearchParams();
  for (const [name, value] of new FormData(form))
    if (typeof value === 'string' && value.trim() !== '') wanted.set(name, value.trim());
  goTo(`${addressOf(screen)}?${wanted}`);
}
