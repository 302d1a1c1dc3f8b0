import { addressOf } from '../address.ts';
import type { Problem } from '../link/documents.ts';
import { overlayInQuery } from '../link/overlay-in-query.ts';

/** Where a person goes on from a problem; what the server says to do is for programs. */
export interface WayOut {
  readonly advice: string;
  readonly to: string;
  readonly title: string;
}

/** The way out of a problem that a person has come to with the page; undefined where what the server says is of use to them. */
export function wayOut({ code, operands = {} }: Problem): WayOut | undefined {
  const named = (name: string): string | undefined => {
    const value = operands[name];
    return typeof value === 'string' ? value : undefined;
  };
  switch (code) {
    case 'no-such-pack':
      return {
        ...{ title: 'All packs', to: addressOf('pack') },
        advice: 'It may have another name or revision, or was taken off the shelf.',
      };
    case 'faulty-pack': {
      const [pack, revision] = [named('pack'), named('revision')];
      if (pack === undefined || revision === undefined) return undefined;
      return {
        ...{ title: 'What was found', advice: 'Each fault is listed with its file and line.' },
        to: addressOf('pack', pack, revision) + overlayInQuery(named('overlay'), named('overlayRevision')),
      };
    }
    case 'no-such-job':
      return {
        ...{ title: 'All jobs', to: addressOf('') },
        advice: 'It may have another name, or stand in another store.',
      };
    case 'no-such-rejudging':
      return {
        ...{ title: 'Judged before', to: addressOf('judged') },
        advice: 'Of many that were judged again the oldest are not kept.',
      };
    case 'rejudging-under-way': {
      const other = named('rejudging');
      if (other === undefined) return undefined;
      return {
        ...{ title: 'Look how far it is', to: addressOf('judged', other) },
        advice: 'One is judged at a time. Wait until the other one is done, or stop it.',
      };
    }
    default:
      return undefined;
  }
}
