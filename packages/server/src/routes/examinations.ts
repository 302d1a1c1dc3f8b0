import { deferral } from '@ferrule/print';
import type { Context } from '../context.ts';
import { checkDocument, trialsDocument, workingDocument } from '../examine/examination-documents.ts';
import type { Asked } from '../examine/examine.ts';
import { overlayAsked, overlayQuery } from '../packs/overlay-asked.ts';
import { httpFormat, isProblem, type Problem } from '../problem.ts';
import { type Answer, JSON_TYPE, type Ready, route } from '../route.ts';
import { object, text } from '../schema.ts';

const path = object({
  pack: text({ examples: ['valve-clearance'] }),
  revision: text({ examples: ['1.0.0'] }),
});

/** How long a request is held before it is answered with how far it has come, in milliseconds. */
const PATIENCE = 1000;

const soon = [
  'It takes seconds, on a thread beside the jobs. Until it is finished the answer is 202, and says after a second at most how',
  'far it has come: ask again then. What came of it is kept until a file on the shelf changes.',
].join(' ');

/** What somebody who writes a pack wants to know of it. */
export const examinationRoutes = (context: Context): readonly Ready[] => [
  route({
    ...{ method: 'GET', url: '/packs/:pack/:revision/check', operationId: 'checkPack', tag: 'packs' },
    summary: 'What is wrong with a pack, what was proved of it, and the shortest way to what was refuted',
    description: soon,
    path,
    query: object(overlayQuery),
    answers: {
      200: { description: 'What was found', content: { [JSON_TYPE]: checkDocument } },
      202: { description: 'How far it has come', content: { [JSON_TYPE]: workingDocument } },
    },
    fails: ['no-such-pack', 'faulty-policy', 'examination-gave-up', 'too-much-waiting'],
    handle: async ({ path, query }) => examined(context, 'check', path, query),
  }),
  route({
    ...{ method: 'GET', url: '/packs/:pack/:revision/trials', operationId: 'tryPack', tag: 'packs' },
    summary: 'How the trials of a pack come out, and what they do not reach',
    description: soon,
    path,
    query: object(overlayQuery),
    answers: {
      200: { description: 'How they came out', content: { [JSON_TYPE]: trialsDocument } },
      202: { description: 'How far it has come', content: { [JSON_TYPE]: workingDocument } },
    },
    fails: ['no-such-pack', 'faulty-pack', 'faulty-policy', 'examination-gave-up', 'too-much-waiting'],
    handle: async ({ path, query }) => examined(context, 'trials', path, query),
  }),
];

async function examined(
  { shelf, examinations }: Context,
  what: 'check' | 'trials',
  { pack, revision }: { readonly pack: string; readonly revision: string },
  query: { readonly overlay?: string; readonly overlayRevision?: string },
): Promise<Answer | Problem> {
  const laid = overlayAsked(query.overlay, query.overlayRevision);
  if (isProblem(laid)) return laid;
  const found = await shelf.find(pack, revision, laid);
  if ('code' in found) return found;
  const { folder, overlay, policy, stamp } = found;
  const asked: Asked = {
    ...{ folder, pack, revision },
    ...(overlay === undefined || laid === undefined ? {} : { overlay: { ...laid, folder: overlay } }),
    ...(policy === undefined ? {} : { policy }),
  };
  const come = await examinations.ask(what, asked, stamp, PATIENCE);
  if (isProblem(come)) return come;
  if ('document' in come) return { status: 200, type: JSON_TYPE, content: come.document };
  return { status: 202, json: { format: httpFormat, deferral, working: come.working } };
}
