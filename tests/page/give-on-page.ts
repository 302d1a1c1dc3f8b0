import type { Command, Offers, Plan } from '@ferrule/engine';
import { entryTitle } from '@ferrule/print';
import type { Page } from 'playwright-core';
import type { Hands } from './hands.ts';
import { openMore } from './open-more.ts';

/** A picture of one pixel (PNG, ISO/IEC 15948). */
export const picture = {
  name: 'picture.png',
  mimeType: 'image/png',
  buffer: Buffer.from(
    'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
    'base64',
  ),
};

/** What the button says by which a hold is released. */
const releaseWords = {
  concession: 'grants a concession',
  witness: 'releases it',
  rework: 'sends it back',
} as const;

/** No title of an entry is longer. */
const LONGEST = 2000;

/** A plan with what stands on the page, on which a command is given. */
export interface OnPage {
  readonly page: Page;
  readonly hands: Hands;
  readonly plan: Plan;
  readonly offers: Offers;
  /** The name of the entry that a fact took, by its number. */
  readonly entryOf: (seq: number) => string | undefined;
}

/** Gives a command of a person on the page, by what stands there for it. */
export async function giveOnPage(on: OnPage, command: Command, by: string): Promise<void> {
  const { page, hands, offers } = on;
  switch (command.command) {
    case 'acknowledge':
      return hands.press(page, 'Read and understood');
    case 'done':
      if (command.together !== undefined)
        await page.getByLabel('Together with').selectOption(command.together);
      return command.photograph === undefined
        ? hands.press(page, 'Done')
        : page.locator('input[type=file]').setInputFiles(picture);
    case 'record':
      return record(on, command);
    case 'carry':
      return hands.press(page, /^Take over /);
    case 'witness':
      return hands.press(page, `${by} has seen it`);
    case 'strike': {
      const title = entryTitle(on.plan, on.entryOf(command.target) ?? '', LONGEST);
      await openMore(page, 'An earlier entry was wrong', hands);
      await hands.open(page, new RegExp(`${escaped(title.replace(/[:.]$/, ''))}:? `));
      await hands.type(page, 'Why it is struck', command.reason);
      return hands.press(page, 'Strike it');
    }
    case 'park':
      await openMore(page, 'Park the job', hands);
      await hands.type(page, 'Why, and what somebody who comes upon the engine has to know', command.reason);
      return hands.press(page, 'Park');
    case 'resume':
      for (const one of offers.offers.flatMap((each) => (each.offer === 'resume' ? each.confirm : [])))
        await hands.choose(page, one.text);
      return hands.press(page, 'Go on with the job');
    case 'release':
      await hands.type(page, '.reason input', command.reason);
      return hands.press(page, new RegExp(`^${by} .*${releaseWords[command.by]}`));
    case 'close':
      return hands.press(page, 'Close the job');
    default:
      throw new Error(`nobody here knows how to ${command.command}`);
  }
}

async function record(
  { page, hands, plan }: OnPage,
  { entry: name, value, held, insist }: Extract<Command, { command: 'record' }>,
): Promise<void> {
  const entry = plan.entries.find((one) => one.name === name);
  if (entry?.entry === 'observation')
    await hands.choose(page, entry.answers.find(({ id }) => id === value)?.text ?? value);
  else {
    if (held === true) await hands.choose(page, 'Held throughout');
    await hands.type(page, '#entry', value);
  }
  await hands.press(page, 'Enter');
  if (insist === true) await hands.press(page, 'It really bears this number');
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
