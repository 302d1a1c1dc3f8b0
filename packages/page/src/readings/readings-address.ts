import { addressOf } from '../address.ts';

/** Where the page shows how the values of a reading, or those that limits are of, lie in all jobs of a pack. */
export const readingsAddress = (pack: string, of: string): string =>
  `${addressOf('readings')}?${new URLSearchParams({ pack, of })}`;
