import type { Page } from 'playwright-core';

/** How somebody works the page: by touch, or by keys alone. */
export interface Hands {
  press(page: Page, name: string | RegExp): Promise<void>;
  choose(page: Page, text: string): Promise<void>;
  /** `label` is the selector of a field, or, where it begins with a capital letter, what its label says. */
  type(page: Page, label: string, text: string): Promise<void>;
  /** Opens what is folded up under a title. */
  open(page: Page, title: string | RegExp): Promise<void>;
}

const isLabel = (text: string): boolean => /^[A-Z]/.test(text);

/** What a visible text says, as a source of a regular expression. */
const saidAs = (name: string | RegExp): RegExp =>
  typeof name === 'string' ? new RegExp(`^${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`) : name;

export const byTouch: Hands = {
  press: (page, name) =>
    page
      .getByRole('button', { name, exact: typeof name === 'string' })
      .first()
      .tap(),
  choose: (page, text) => page.locator('.answer, .check').filter({ hasText: text }).first().tap(),
  type: (page, label, text) =>
    (isLabel(label) ? page.getByLabel(label, { exact: true }).last() : page.locator(label)).fill(text),
  open: (page, title) =>
    page
      .locator('summary')
      .filter({ hasText: saidAs(title), visible: true })
      .last()
      .tap(),
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
    await tabTo(
      page,
      `one.tagName === 'BUTTON' && !one.disabled && ${saidAs(name)}.test(one.textContent.trim())`,
    );
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
    const said = JSON.stringify(label);
    await tabTo(
      page,
      isLabel(label)
        ? `one.labels?.[0]?.firstChild?.textContent?.trim() === ${said}`
        : `one.matches(${said})`,
    );
    await page.keyboard.type(text);
  },
  open: async (page, title) => {
    await tabTo(page, `one.tagName === 'SUMMARY' && ${saidAs(title)}.test(one.textContent.trim())`);
    await page.keyboard.press('Enter');
  },
};
