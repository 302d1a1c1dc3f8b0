import { Command } from 'commander';
import { deferral } from './terminal/deferral.ts';
import { verbs } from './verbs/index.ts';

/** The command with all its verbs. Faults of a call are thrown as commander's errors, already printed. */
export function program(): Command {
  const ferrule = new Command('ferrule')
    .description(
      'Runs, checks and proves workshop procedures that are written as data. A pack is a folder with a pack.yaml.',
    )
    .version('0.1.0', '--version', 'shows the version')
    .helpOption('-h, --help', 'shows how it is called')
    .helpCommand('help [verb]', 'shows how a verb is called')
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, 'ferrule: ')) })
    .showHelpAfterError('ferrule --help shows how it is called.')
    .addHelpText(
      'after',
      `
Examples:
  ferrule check specs/marram-unit-pumps/1.0.0
  ferrule run specs/marram-unit-pumps/1.0.0 --procedure install-and-synchronise --variant marram-four --jobs jobs

Exit code: 0 all is well, 1 what was examined has faults, 2 the call was wrong.

${deferral}`,
    );
  for (const verb of verbs) {
    const command = ferrule.command(verb.name, { hidden: verb.hidden ?? false }).description(verb.does);
    command.showHelpAfterError(`ferrule ${verb.name} --help shows how it is called.`);
    if (verb.example !== undefined)
      command.addHelpText('after', `\nExample:\n${verb.example}\n\n${deferral}`);
    verb.define(command);
  }
  return ferrule;
}
