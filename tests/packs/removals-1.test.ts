import { tryRemovals } from './removals/share.ts';

tryRemovals(0, 2);
