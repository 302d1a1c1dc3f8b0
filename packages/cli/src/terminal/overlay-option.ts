import { InvalidArgumentError, Option } from 'commander';

/** The option of every verb that reads a pack for work. Of two overlays one would be lost in silence. */
export const overlayOption = (): Option =>
  new Option('--overlay <folder>', 'lays the overlay of the shop over the pack').argParser(
    (folder: string, before: string | undefined) => {
      if (before !== undefined) throw new InvalidArgumentError('One overlay is laid over a pack.');
      return folder;
    },
  );
