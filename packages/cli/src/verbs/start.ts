import type { DemonstrationCall } from '../demonstration/show-page.ts';
import { portOption } from '../terminal/port-option.ts';
import type { Verb } from './verb.ts';

export const start: Verb = {
  name: 'start',
  does: 'shows the page with the packs of this checkout and jobs that are finished or half done',
  hidden: true,
  define: (command) => {
    command
      .addOption(portOption())
      .option('--jobs <store>', 'keeps the jobs in this folder instead')
      .option('--no-open', 'does not open the browser')
      .option('--anew', 'begins with new jobs; those of before are moved aside')
      .action(async (options: DemonstrationCall) => {
        const { showPage } = await import('../demonstration/show-page.ts');
        process.exitCode = await showPage(options);
      });
  },
};
