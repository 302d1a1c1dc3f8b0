import { computed, signal } from '@preact/signals';

/** Where the page is, as the part of the address behind the # says it. */
export type Address =
  | { readonly screen: 'jobs' }
  | { readonly screen: 'procedures' }
  | { readonly screen: 'job'; readonly job: string }
  | {
      readonly screen: 'begin';
      readonly pack: string | undefined;
      readonly revision: string | undefined;
      readonly procedure: string | undefined;
    }
  | {
      readonly screen: 'compare';
      readonly pack: string | undefined;
      readonly before: string | undefined;
      readonly after: string | undefined;
      /** Words that the changes are to have. */
      readonly sought: string | undefined;
      /** The overlays that are laid over the two, as a query. */
      readonly asked: string;
    }
  | {
      readonly screen: 'judged';
      readonly rejudging: string | undefined;
      /** By which revision somebody is about to judge, as a query. */
      readonly asked: string;
    }
  | {
      readonly screen: 'find' | 'readings';
      /** What is looked for, as the query of GET /jobs or GET /spread; undefined until somebody has asked. */
      readonly asked: string | undefined;
    }
  | {
      readonly screen: 'pack';
      readonly pack: string | undefined;
      readonly revision: string | undefined;
      readonly part: string | undefined;
      readonly number: string | undefined;
      /** The overlay that is laid over it, as a query. */
      readonly asked: string;
    };

const hash = signal(location.hash);
addEventListener('hashchange', () => {
  hash.value = location.hash;
});

export const address = computed((): Address => {
  const [path = '', query] = hash.value.split('?', 2);
  const asked = query ?? '';
  const [, screen = '', ...names] = path.split('/').map((part) => decoded(part));
  switch (screen) {
    case 'job':
      return names[0] === undefined ? { screen: 'jobs' } : { screen: 'job', job: names[0] };
    case 'begin':
      return { screen: 'begin', pack: names[0], revision: names[1], procedure: names[2] };
    case 'compare':
      return {
        screen: 'compare',
        pack: names[0],
        before: names[1],
        after: names[2],
        sought: names[3],
        asked,
      };
    case 'procedures':
      return { screen };
    case 'judged':
      return { screen: 'judged', rejudging: names[0], asked };
    case 'find':
    case 'readings':
      return { screen, asked: query };
    case 'pack': {
      const [pack, revision, part, number] = names;
      return { screen: 'pack', pack, revision, part, number, asked };
    }
    default:
      return { screen: 'jobs' };
  }
});

/** An address of the page, each name in it written so that it is a name and nothing else. */
export const addressOf = (screen: string, ...names: readonly string[]): string =>
  `#/${[screen, ...names].map(encodeURIComponent).join('/')}`;

export const goTo = (to: string): void => {
  location.hash = to;
};

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
