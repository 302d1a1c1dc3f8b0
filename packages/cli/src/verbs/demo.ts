import type { Verb } from './verb.ts';

export const demo: Verb = {
  name: 'demo',
  does: 'shows one whole job on the demonstration pack of this checkout',
  hidden: true,
  define: (command) => {
    command.action(async () => {
      const { showDemonstration } = await import('../job/show-demonstration.ts');
      process.exitCode = await showDemonstration();
    });
  },
};
