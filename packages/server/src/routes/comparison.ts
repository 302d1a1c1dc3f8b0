import { compareRevisions } from '@ferrule/compare';
import { comparisonHtml } from '@ferrule/print';
import { releaseWords } from '@ferrule/signing';
import { readChangelog } from '@ferrule/source';
import { accepted } from '../accepted.ts';
import type { Context } from '../context.ts';
import { page } from '../html.ts';
import { type OverlayNamed, positionsBesidePack } from '../packs/beside-pack.ts';
import { overlayAsked, overlayBeforeQuery, overlayQuery } from '../packs/overlay-asked.ts';
import type { OpenedPack } from '../packs/shelf.ts';
import { isProblem, problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { among, anything, object, optional, text, word } from '../schema.ts';

const forms = { json: JSON_TYPE, html: 'text/html' } as const;

/** What a revision on the shelf has otherwise than an older one there. */
export const comparisonRoute = ({ shelf, behaviours }: Context): Ready =>
  route({
    ...{
      method: 'GET',
      url: '/packs/:pack/:revision/comparison',
      operationId: 'getComparison',
      tag: 'packs',
    },
    summary: 'What a revision has otherwise than an older one',
    description:
      'The form is the one that `form` names, or else the one that Accept likes best. Places are those in the files of the two, from the folder of each.',
    path: object({
      pack: text({ examples: ['marram-unit-pumps'] }),
      revision: text({ examples: ['1.1.0'] }),
    }),
    query: object({
      with: text({ maxLength: 100, description: 'The older revision', examples: ['1.0.0'] }),
      ...overlayQuery,
      ...overlayBeforeQuery,
      form: optional(among(['json', 'html'])),
      behaviour: optional(
        word('yes', {
          description:
            'Runs the newer revision as well, and says what it does otherwise; it takes some seconds',
        }),
      ),
    }),
    answers: {
      200: {
        description: 'The comparison, in the form that was asked for',
        content: {
          [JSON_TYPE]: anything({
            type: 'object',
            description: 'ferrule-comparison-1; docs/auditors-guide.md reads one',
          }),
          'text/html': text(),
        },
      },
    },
    fails: [
      ...(['no-such-pack', 'faulty-pack', 'faulty-policy', 'not-acceptable'] as const),
      ...(['too-much-waiting', 'examination-gave-up'] as const),
    ],
    handle: async ({ path: { pack, revision }, query, request }) => {
      const type =
        query.form === undefined ? accepted(request.headers.accept, Object.values(forms)) : forms[query.form];
      if (type === undefined)
        return problem('not-acceptable', 'A comparison is JSON or HTML.', {
          operands: { types: Object.values(forms) },
        });
      const laid = overlayAsked(query.overlay, query.overlayRevision);
      if (isProblem(laid)) return laid;
      const laidBefore = overlayAsked(query.overlayBefore, query.overlayBeforeRevision, 'overlayBefore');
      if (isProblem(laidBefore)) return laidBefore;
      const before = await shelf.open(pack, query.with, laidBefore);
      if ('code' in before) return before;
      const after = await shelf.open(pack, revision, laid);
      if ('code' in after) return after;
      const isSame = before.bundle.digest === after.bundle.digest;
      const behaviour =
        query.behaviour === undefined || isSame ? undefined : await behaviours.of(before, after);
      if (behaviour !== undefined && 'code' in behaviour) return behaviour;
      const document = {
        ...compareRevisions(revisionOf(before, laidBefore), revisionOf(after, laid)),
        ...(behaviour === undefined ? {} : { behaviour }),
      };
      return type === 'text/html' ? page(comparisonHtml(document)) : { status: 200, json: document };
    },
  });

/** A revision by its name on the shelf: where its folder is on the machine of the server is nobody's business. */
const revisionOf = (
  { folder, pack, positions, bundle, release, overlayRelease }: OpenedPack,
  laid: OverlayNamed | undefined,
) => ({
  ...{ name: `${pack.pack}/${pack.revision}`, pack, digest: bundle.digest },
  positions: positionsBesidePack(positions, laid),
  release: releaseWords(release, overlayRelease),
  changelog: { text: readChangelog(folder) },
});
