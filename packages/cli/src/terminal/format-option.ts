import { Option } from 'commander';

export type Format = 'text' | 'json';

/** The option that every verb has; some can write more forms than these two. */
export const formatOption = (...more: readonly string[]): Option =>
  new Option('--format <format>', 'how results are written')
    .choices(['text', 'json', ...more])
    .default('text');
