import { Option } from 'commander';

export type Format = 'text' | 'json';

/** The option that every verb has. */
export const formatOption = (): Option =>
  new Option('--format <format>', 'how results are written').choices(['text', 'json']).default('text');
