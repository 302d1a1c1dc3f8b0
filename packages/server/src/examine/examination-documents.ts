import { format, notice, release, said } from '../documents.ts';
import { digestSchema } from '../engine-schemas.ts';
import { among, anything, count, list, map, named, object, optional, text, truth } from '../schema.ts';
import { guarantees } from './guarantees.ts';

const t = text();
const some = optional(t);

const place = named(
  'PlaceInPack',
  object(
    {
      file: text({ description: 'From the folder of the pack, with forward slashes' }),
      line: count(),
      column: count({ description: 'In UTF-16 code units, from 1, as the lines are' }),
      endLine: count(),
      endColumn: count({ description: 'Just behind the last character' }),
      text: optional(
        object({
          from: count({ description: 'The column of its first character' }),
          text: text({ description: 'The line, or the stretch of a long one around the place' }),
        }),
      ),
    },
    { description: 'Where something is written' },
  ),
);

/** What every document says that is about a pack alone. */
const head = {
  format,
  deferral: said,
  pack: t,
  revision: t,
  overlay: optional(
    object(
      { overlay: t, revision: t, title: optional(t), release },
      { description: 'The one that is laid over the pack' },
    ),
  ),
  title: optional(t),
  notice,
  digest: optional(digestSchema),
  release,
};

const finding = named(
  'Finding',
  object(
    {
      code: text({ description: 'docs/diagnostics has a page for each' }),
      severity: among(['error', 'warning', 'note']),
      message: t,
      remedy: some,
      place: optional(place),
      fault: optional(count({ description: 'Where the proof shows it: its place in the list of faults' })),
      other: list(object({ message: t, place: optional(place) }), {
        description: 'Further places that it is understood by',
      }),
    },
    { description: 'What is wrong at a place of a pack, and what to do about it' },
  ),
);

const isGuarantee = (name: string): name is keyof typeof guarantees => Object.hasOwn(guarantees, name);
const guaranteeNames = Object.keys(guarantees).filter(isGuarantee);

const provenVariant = object({
  variant: t,
  title: t,
  steps: count({ description: 'Of the plan, written out for each bore' }),
  states: count({ description: 'That were told apart' }),
  strikes: count({ description: 'Of an entry, that were followed up' }),
  milliseconds: count(),
  isCutShort: truth({ description: 'It stopped at a bound before it had seen everything' }),
  statesAt: map(count(), {
    description: 'How many of the states stand at a place of the pack, by its pointer',
  }),
  unreached: list(t, {
    description: 'Paths of steps that no way comes to, such as those that only a strike leads to',
  }),
});

const provenProcedure = named(
  'ProvenProcedure',
  object(
    {
      procedure: t,
      title: t,
      variants: list(provenVariant),
      guarantees: list(
        object({
          guarantee: among(guaranteeNames),
          says: t,
          standing: map(among(['holds', 'refuted', 'as-far-as-seen']), {
            description:
              'By variant. as-far-as-seen: nothing speaks against it, but a fault hides what lies behind it, or the proof was cut short',
          }),
          faults: list(count(), { description: 'Places in the list of faults' }),
        }),
      ),
      free: list(t, { description: 'What was left open, so that every outcome of it was tried' }),
      aside: list(t, { description: 'What the proof does not look at' }),
    },
    { description: 'A procedure, proved for each engine that it is for' },
  ),
);

const fault = named(
  'ProvenFault',
  object(
    {
      procedure: t,
      variant: text({ description: 'The one that the way is shown for' }),
      variants: list(t, { description: 'All in which it shows up' }),
      bores: list(count()),
      guarantee: among(guaranteeNames),
      means: text({ description: 'What can go wrong, in words of the workshop' }),
      law: optional(place),
      node: optional(text({ description: 'The path of the step that it shows up at; none for the end' })),
      watched: list(t, { description: 'Names of the cells of the plan that the guarantee looks at there' }),
      signals: list(anything(), { description: 'The shortest way, as the function advance takes it' }),
      visits: list(
        object({
          node: optional(text({ description: 'The path of the step' })),
          title: t,
          place: optional(place),
          happens: list(t),
          changes: list(t),
          course: among(['plain', 'choice', 'turn'], {
            description: 'As it is written; could go on otherwise; goes wrong or is put right',
          }),
          until: count({ description: 'How many of the signals have come about after it' }),
        }),
        { description: 'The way, one visit of a step after the other' },
      ),
      next: t,
      standing: list(t),
      replayed: text({ description: 'Whether a job was driven along the way' }),
      mend: t,
    },
    { description: 'A guarantee that does not hold, with the shortest way that shows it' },
  ),
);

export const checkDocument = named(
  'PackCheck',
  object(
    {
      ...head,
      looked: object({
        files: list(t),
        kinds: count({ description: 'Kinds of faults that were looked for' }),
        isProved: truth({ description: 'Nothing is proved while names, types or units are wrong' }),
      }),
      findings: list(finding),
      procedures: list(provenProcedure),
      faults: list(fault),
    },
    { description: 'Everything that the command check says of a pack' },
  ),
);

const unreached = object({
  kind: t,
  why: t,
  standing: among(['unreached', 'reached-for-some', 'unreachable']),
  variants: list(t, { description: 'For which it could be reached and is not' }),
  place: optional(place),
});

export const trialsDocument = named(
  'PackTrials',
  object(
    {
      ...head,
      trials: list(
        object({
          trial: t,
          says: t,
          procedure: t,
          variant: t,
          facts: count({ description: 'That it came to; none for one that tries a single act' }),
          failures: list(t, {
            description: 'Where it came out otherwise than it expects; empty where it did not',
          }),
          place: optional(place),
        }),
      ),
      coverage: list(
        object({
          procedure: t,
          title: t,
          variants: list(
            object({
              variant: t,
              title: t,
              groups: list(object({ group: t, reached: count(), of: count() })),
            }),
          ),
          unreached: list(unreached, { description: 'In the order of the files' }),
        }),
        { description: 'What the trials that came out as expected have reached' },
      ),
    },
    { description: 'Each trial of a pack, and what trials reach' },
  ),
);

/** Said as long as it takes. */
export const workingDocument = named(
  'Working',
  object(
    {
      format,
      deferral: said,
      working: object({
        doing: text({ description: 'What is being done, in words' }),
        done: count(),
        of: count({ description: 'How many parts it has; 0 while that is not known' }),
      }),
    },
    { description: 'It is not finished: ask the same address again' },
  ),
);
