import type { Locator, Page } from 'playwright-core';
import { byTouch } from './hands.ts';

/** Opens a form under More, which can be done at any time. */
export async function openMore(page: Page, title: string, hands = byTouch): Promise<Locator> {
  await hands.press(page, 'More');
  await hands.open(page, title);
  return page.locator('.more details[open]').first();
}

/** Notes something under More. */
export async function note(page: Page, text: string): Promise<void> {
  const form = await openMore(page, 'Note');
  await form.getByLabel('For the record').fill(text);
  await form.getByRole('button', { name: 'Keep the note' }).tap();
}
