import { tryRemovals } from './removals/share.ts';

tryRemovals(1, 2);
