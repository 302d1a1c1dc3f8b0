import { Option } from 'commander';

/** The option of every verb that says how something was released. */
export const policyOption = (): Option =>
  new Option(
    '--policy <file>',
    'says which keys may release what; else policy.yaml beside the packs, where there is one',
  );
