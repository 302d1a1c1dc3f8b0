import { Command } from 'commander';
import { callOf } from './terminal/call.ts';
import { deferral } from './terminal/deferral.ts';
import { version } from './terminal/version.ts';
import { wrap } from './terminal/wrap.ts';
import { verbs } from './verbs/index.ts';

/** A word without a letter is what a shell makes of a variable that nothing was put into, and would name the folder one is in. */
function refuseEmptyWords(called: Command): void {
  const empty = [
    ...called.registeredArguments.flatMap((one, place) =>
      called.args.slice(place, one.variadic ? undefined : place + 1).includes('') ? [`<${one.name()}>`] : [],
    ),
    ...called.options.flatMap((one) =>
      [called.getOptionValue(one.attributeName())].flat().includes('') ? [one.long ?? one.flags] : [],
    ),
  ];
  if (empty.length > 0)
    called.error(
      `error: ${empty.join(' and ')} ${empty.length === 1 ? 'is an empty word' : 'are empty words'}. Say what is meant, or leave it out.`,
    );
}

/** The command with all its verbs. Faults of a call are thrown as commander's errors, already printed. */
export function program(): Command {
  const ferrule = new Command('ferrule')
    .description(
      'Runs, checks and proves workshop procedures that are written as data. A pack is a folder with a pack.yaml.',
    )
    .version(version, '--version', 'shows the version')
    .helpOption('-h, --help', 'shows how it is called')
    .helpCommand('help [verb]', 'shows how a verb is called')
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, 'ferrule: ')) })
    .showHelpAfterError(`${callOf('--help')} shows how it is called.`)
    .addHelpText(
      'after',
      `
Examples:
  ${callOf('check', 'specs/marram-unit-pumps/1.0.0')}
  ${callOf('run', 'specs/valve-clearance/1.0.0', '--procedure', 'set-clearances', '--variant', 'marram-four', '--jobs', 'jobs')}

Exit code: 0 all is well, 1 what was examined has faults, 2 the call was wrong.

${wrap(deferral)}`,
    );
  ferrule.hook('preAction', (_, called) => refuseEmptyWords(called));
  for (const verb of verbs) {
    const command = ferrule.command(verb.name, { hidden: verb.hidden ?? false }).description(verb.does);
    command.showHelpAfterError(`${callOf(verb.name, '--help')} shows how it is called.`);
    if (verb.examples !== undefined) {
      const calls = verb.examples.map((words) => `  ${callOf(verb.name, ...words)}`);
      const more = verb.more === undefined ? '' : `\n\n${wrap(verb.more)}`;
      command.addHelpText('after', `\nExample:\n${calls.join('\n')}${more}\n\n${wrap(deferral)}`);
    }
    verb.define(command);
    for (const part of command.commands)
      part.showHelpAfterError(`${callOf(verb.name, part.name(), '--help')} shows how it is called.`);
  }
  return ferrule;
}
