import type { Context } from '../context.ts';
import { storeGone } from '../jobs/desk.ts';
import { problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { anything, object, text } from '../schema.ts';

const digestInPath = text({
  pattern: '^sha256:[0-9a-f]{64}$',
  description: 'The digest that a job is pinned to, or that of a pack on the shelf',
});

/** The packs that jobs were begun with, as they were then, and those that stand on the shelf. */
export const bundleRoutes = ({ store, shelf }: Context): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/bundles/:digest', operationId: 'getBundle', tag: 'packs' },
    summary:
      'A pack by its digest, whole, as canonical JSON: one that jobs were begun with, or one on the shelf',
    description:
      'A client with the engine in it decides with it what the server will decide. What has a digest never changes.',
    path: object({ digest: digestInPath }),
    answers: {
      200: {
        description: 'The resolved pack (RFC 8785), of which the SHA-256 is the digest',
        content: { [JSON_TYPE]: anything({ type: 'object' }) },
      },
    },
    fails: ['no-such-bundle', 'store-gone'],
    handle: async ({ path: { digest } }) => {
      const content = store.bundle(digest) ?? (await shelf.bundle(digest));
      return content === undefined
        ? (storeGone(store) ??
            problem(
              'no-such-bundle',
              store.hasOtherBundle(digest)
                ? `What the store keeps under the digest ${digest} was altered, and the shelf does not have it.`
                : `Neither the store nor the shelf has a pack with the digest ${digest}.`,
              {
                operands: { digest },
              },
            ))
        : {
            status: 200,
            headers: { 'cache-control': 'private, max-age=31536000, immutable' },
            type: JSON_TYPE,
            content,
          };
    },
  }),
];
