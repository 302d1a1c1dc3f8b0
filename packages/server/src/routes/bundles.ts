import type { Context } from '../context.ts';
import { problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { anything, object, text } from '../schema.ts';

const digestInPath = text({
  pattern: '^sha256:[0-9a-f]{64}$',
  description: 'The digest that a job is pinned to',
});

/** The packs that jobs were begun with, as they were then. */
export const bundleRoutes = ({ store }: Context): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/bundles/:digest', operationId: 'getBundle', tag: 'packs' },
    summary: 'The pack that jobs were begun with, whole, as canonical JSON',
    description:
      'A client with the engine in it decides with it what the server will decide. What has a digest never changes.',
    path: object({ digest: digestInPath }),
    answers: {
      200: {
        description: 'The resolved pack (RFC 8785), of which the SHA-256 is the digest',
        content: { [JSON_TYPE]: anything({ type: 'object' }) },
      },
    },
    fails: ['no-such-bundle'],
    handle: ({ path: { digest } }) => {
      const content = store.bundle(digest);
      return content === undefined
        ? problem('no-such-bundle', `The store has no pack with the digest ${digest}.`, {
            operands: { digest },
          })
        : {
            status: 200,
            headers: { 'cache-control': 'private, max-age=31536000, immutable' },
            type: JSON_TYPE,
            content,
          };
    },
  }),
];
