import { InvalidArgumentError, Option } from 'commander';

/** The port to listen at. */
export const portOption = (): Option =>
  new Option('--port <number>', 'listens at this port').default(8321).argParser((text) => {
    const port = /^[0-9]{1,5}$/.test(text) ? Number(text) : Number.NaN;
    if (port <= 65535) return port;
    throw new InvalidArgumentError('A port is a number up to 65535.');
  });
