import { policyOption } from '../terminal/policy-option.ts';
import { portOption } from '../terminal/port-option.ts';
import type { Verb } from './verb.ts';

interface ServeOptions {
  readonly packs: readonly string[];
  readonly jobs: string;
  readonly host: string;
  readonly port: number;
  readonly tokenFile?: string;
  readonly name?: readonly string[];
  readonly acceptTerms?: true;
  readonly key?: string;
  readonly policy?: string;
}

export const serve: Verb = {
  name: 'serve',
  does: 'lets other software run jobs, over HTTP',
  examples: [
    ['--packs', 'specs', '--jobs', 'jobs'],
    ['--packs', 'specs', '--jobs', 'jobs', '--port', '9000', '--token-file', 'token'],
  ],
  more: 'It listens on this machine alone, until Ctrl-C. Another address needs a token, and says what goes for that before it is used. /openapi.json describes the interface. The store may be used in the terminal at the same time. docs/http.md says more.',
  define: (command) => {
    command
      .requiredOption('--packs <folder...>', 'folders that hold packs, as specs does')
      .requiredOption('--jobs <store>', 'keeps the jobs in this folder')
      .addOption(portOption())
      .option('--host <address>', 'listens at this address of the machine', '127.0.0.1')
      .option('--token-file <file>', 'asks for the token in this file')
      .option('--key <file>', 'signs each job that is closed here with this private key')
      .addOption(policyOption())
      .option('--name <host...>', 'further names under which it is called, as of a proxy, with the port')
      .option('--accept-terms', 'the terms of an address that other machines reach were read')
      .action(async (options: ServeOptions) => {
        const { runServer } = await import('../serve/run-server.ts');
        process.exitCode = await runServer(options);
      });
  },
};
