import { tryShare } from './defects/share.ts';

tryShare(0, 2);
