import type { Context } from '../context.ts';
import { photographDocument } from '../documents.ts';
import { notWritten } from '../jobs/desk.ts';
import { limits } from '../limits.ts';
import { jobInPath } from '../parameters.ts';
import { httpFormat, problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { object, text } from '../schema.ts';

const types = ['image/png', 'image/jpeg', 'image/webp'] as const;

/** Pictures, which a command `done` names by their digests. */
export const photographRoutes = ({ store, desk }: Context): readonly Ready[] => [
  route({
    ...{ method: 'POST', url: '/jobs/:job/photographs', operationId: 'keepPhotograph', tag: 'records' },
    summary: 'Keeps a picture, and answers its digest for the command done',
    description:
      'What it is shows in its first bytes, whatever the header says. The same picture is kept once.',
    path: object({ job: jobInPath }),
    takes: types,
    bodyLimit: limits.photograph,
    answers: { 201: { description: 'It is kept', content: { [JSON_TYPE]: photographDocument } } },
    fails: [
      ...(['other-media-type', 'too-large', 'malformed-body', 'no-such-job', 'unreadable-job'] as const),
      ...(['pack-not-at-hand', 'no-picture', 'not-written'] as const),
    ],
    handle: async ({ path: { job }, body }) => {
      const open = await desk.open(job);
      if ('code' in open) return open;
      if (!Buffer.isBuffer(body)) return problem('no-picture', 'No picture was sent.');
      const kept = store.putPhotograph(body);
      if (kept.refused === 'not-written') return notWritten();
      if (kept.refused !== undefined) return problem('no-picture', kept.message);
      const { digest, mediaType } = kept;
      return {
        status: 201,
        headers: { location: `/photographs/${digest}` },
        json: { format: httpFormat, digest, mediaType },
      };
    },
  }),
  route({
    ...{ method: 'GET', url: '/photographs/:digest', operationId: 'getPhotograph', tag: 'records' },
    summary: 'A picture by its digest',
    path: object({ digest: text({ examples: [`sha256:${'0'.repeat(64)}`] }) }),
    answers: {
      200: {
        description: 'The picture',
        content: Object.fromEntries(types.map((type) => [type, text({ format: 'binary' })])),
      },
    },
    fails: ['no-such-photograph'],
    handle: ({ path: { digest } }) => {
      const found = store.photograph(digest);
      if (found === undefined)
        return problem('no-such-photograph', 'There is no picture with this digest.', {
          operands: { digest: digest.slice(0, 80) },
        });
      return {
        status: 200,
        type: found.mediaType,
        content: found.bytes,
        headers: { 'cache-control': 'private, max-age=31536000, immutable' },
      };
    },
  }),
];
