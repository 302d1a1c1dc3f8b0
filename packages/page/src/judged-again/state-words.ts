import type { Rejudging } from '../link/documents.ts';

export const stateWords: Readonly<Record<Rejudging['state'], string>> = {
  'under-way': 'under way',
  done: 'done',
  stopped: 'stopped',
  'cut-off': 'cut off',
  failed: 'failed',
};
