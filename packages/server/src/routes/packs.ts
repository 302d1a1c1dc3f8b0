import { jobsOf } from '@ferrule/check';
import { type Pack, resolve } from '@ferrule/engine';
import { deferral, sheet } from '@ferrule/print';
import { type ReleaseState, releaseWords } from '@ferrule/signing';
import type { Context } from '../context.ts';
import { packDocument, packsDocument, releaseNow } from '../documents.ts';
import { page } from '../html.ts';
import { overlayAsked, overlayQuery } from '../packs/overlay-asked.ts';
import { planOf, variantsOf } from '../packs/shelf.ts';
import { httpFormat, isProblem, problem } from '../problem.ts';
import { JSON_TYPE, type Ready, route } from '../route.ts';
import { object, text } from '../schema.ts';
import { comparisonRoute } from './comparison.ts';

const path = object({
  pack: text({ examples: ['valve-clearance'] }),
  revision: text({ examples: ['1.0.0'] }),
});
const name = text({ maxLength: 100 });

const shelved = <T extends { readonly release: ReleaseState }>(one: T) => ({
  ...one,
  release: releaseNow(one.release),
});

/** What stands on the shelf. */
export const packRoutes = (context: Context): readonly Ready[] => [
  ...shelfRoutes(context),
  comparisonRoute(context),
];

const shelfRoutes = ({ shelf }: Context): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/packs', operationId: 'listPacks', tag: 'packs' },
    summary: 'The packs that jobs can be begun from',
    answers: { 200: { description: 'The packs', content: { [JSON_TYPE]: packsDocument } } },
    fails: ['faulty-policy'],
    handle: async () => {
      const all = await shelf.list();
      if ('code' in all) return all;
      const overlays = await shelf.overlays();
      if ('code' in overlays) return overlays;
      const packs = all.map(shelved);
      return { status: 200, json: { format: httpFormat, deferral, packs, overlays: overlays.map(shelved) } };
    },
  }),
  route({
    ...{ method: 'GET', url: '/packs/:pack/:revision', operationId: 'getPack', tag: 'packs' },
    summary: 'A pack, and what its jobs need to be begun',
    path,
    answers: { 200: { description: 'The pack', content: { [JSON_TYPE]: packDocument } } },
    fails: ['no-such-pack', 'faulty-pack', 'faulty-policy'],
    handle: async ({ path: { pack, revision } }) => {
      const opened = await shelf.open(pack, revision);
      if ('code' in opened) return opened;
      const all = await shelf.list();
      if ('code' in all) return all;
      const said = all.find((one) => one.pack === pack && one.revision === revision);
      if (said === undefined)
        return problem('no-such-pack', `${pack} ${revision} was taken off the shelf just now.`);
      return {
        status: 200,
        json: { format: httpFormat, deferral, ...shelved(said), needs: needsOf(opened.pack) },
      };
    },
  }),
  route({
    ...{ method: 'GET', url: '/packs/:pack/:revision/sheet', operationId: 'getSheet', tag: 'packs' },
    summary: 'A procedure as a sheet to be printed and filled in by hand',
    path,
    query: object({
      procedure: name,
      variant: name,
      ...overlayQuery,
    }),
    answers: { 200: { description: 'A page that loads nothing', content: { 'text/html': text() } } },
    fails: ['no-such-pack', 'no-such-procedure', 'faulty-pack', 'faulty-policy'],
    handle: async ({ path: { pack, revision }, query }) => {
      const { procedure, variant } = query;
      const laid = overlayAsked(query.overlay, query.overlayRevision);
      if (isProblem(laid)) return laid;
      const opened = await shelf.open(pack, revision, laid);
      if ('code' in opened) return opened;
      const plan = planOf(opened, procedure, variant);
      if ('code' in plan) return plan;
      const { bundle, release, overlayRelease } = opened;
      const words = releaseWords(release, overlayRelease);
      return page(sheet(plan, opened.pack, { digest: bundle.digest, release: words }));
    },
  }),
];

function needsOf(pack: Pack) {
  const needs: Record<string, unknown> = Object.create(null);
  for (const procedure of jobsOf(pack)) {
    const variant = variantsOf(pack, procedure)[0] ?? '';
    const { plan } = resolve(pack, { procedure, variant });
    if (plan === undefined) continue;
    needs[procedure] = {
      roles: plan.roles.map(({ id, title }) => ({ id, title, needed: plan.persons.includes(id) })),
      instruments: plan.instruments.map(({ id, title, calibrated, onlyIfMeasured }) => ({
        ...{ id, title, calibrated },
        needed: calibrated && onlyIfMeasured !== true,
      })),
    };
  }
  return needs;
}
