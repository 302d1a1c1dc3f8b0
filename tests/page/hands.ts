import type { Page } from 'playwright-core';

/** How somebody works the page: by touch, or by keys alone. */
export interface Hands {
  press(page: Page, name: string | RegExp): Promise<void>;
  choose(page: Page, text: string): Promise<void>;
  type(page: Page, label: string, text: string): Promise<void>;
}

export const byTouch: Hands = {
  press: (page, name) =>
    page
      .getByRole('button', { name, exact: typeof name === 'string' })
      .first()
      .tap(),
  choose: (page, text) => page.locator('.answer, .check').filter({ hasText: text }).first().tap(),
  type: (page, label, text) => page.locator(label).fill(text),
};

/** How many times the tab key is pressed in search of something before it counts as out of reach. */
const MOST_TABS = 80;

/** Goes on with the tab key until what has the focus is what is meant. */
async function tabTo(page: Page, isThere: string): Promise<void> {
  for (let pressed = 0; pressed < MOST_TABS; pressed++) {
    if ((await page.evaluate(`((one) => ${isThere})(document.activeElement)`)) === true) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`not reached by the tab key: ${isThere}`);
}

/** By keys alone: nothing is clicked, and nothing gets the focus but by the tab key. */
export const byKeys: Hands = {
  press: async (page, name) => {
    const says =
      typeof name === 'string' ? new RegExp(`^${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`) : name;
    await tabTo(page, `one.tagName === 'BUTTON' && !one.disabled && ${says}.test(one.textContent.trim())`);
    await page.keyboard.press('Enter');
  },
  choose: async (page, text) => {
    const said = JSON.stringify(text);
    await tabTo(page, `one.closest('.answer, .check') !== null`);
    // Radio buttons are one stop of the tab key; the arrows go through them. Boxes are a stop each.
    for (let tries = 0; tries < MOST_TABS; tries++) {
      const [isThere, isRadio] = (await page.evaluate(
        `[document.activeElement.closest('.answer, .check')?.textContent.includes(${said}) === true, document.activeElement.type === 'radio']`,
      )) as readonly [boolean, boolean];
      if (isThere) break;
      await page.keyboard.press(isRadio ? 'ArrowDown' : 'Tab');
    }
    await page.keyboard.press('Space');
  },
  type: async (page, label, text) => {
    await tabTo(page, `one.matches(${JSON.stringify(label)})`);
    await page.keyboard.type(text);
  },
};
