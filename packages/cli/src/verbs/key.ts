import type { Format } from '../terminal/format-option.ts';
import { formatOption } from '../terminal/format-option.ts';
import type { Verb } from './verb.ts';

export const key: Verb = {
  name: 'key',
  does: 'makes a pair of keys to sign with, or shows a public one',
  examples: [
    ['new', 'keys/lead.key'],
    ['show', 'keys/lead.key.pub'],
  ],
  more: 'new writes the private key into FILE, which only its owner may read, and the public one into FILE.pub. show says the id of a key, as a policy names it. Whoever has a private key signs in its name: keep it out of packs, stores, mail and version control. docs/releases.md says more.',
  define: (command) => {
    const format = (): ReturnType<typeof formatOption> => formatOption();
    command
      .command('new')
      .description('makes a pair of keys')
      .argument('<FILE>', 'file for the private key; the public one goes into FILE.pub')
      .addOption(format())
      .action(async (file: string, options: { readonly format: Format }) => {
        const { newKey } = await import('../release/show-key.ts');
        process.exitCode = newKey(file, options.format);
      });
    command
      .command('show')
      .description('says the id of a key')
      .argument('<FILE>', 'a public or a private key, or an id')
      .addOption(format())
      .action(async (file: string, options: { readonly format: Format }) => {
        const { showKey } = await import('../release/show-key.ts');
        process.exitCode = showKey(file, options.format);
      });
  },
};
