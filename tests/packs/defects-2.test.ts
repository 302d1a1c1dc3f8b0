import { tryShare } from './defects/share.ts';

tryShare(1, 2);
