import { type OfferedStep, type Offers, writeQuantity } from '@ferrule/engine';
import { refusalSchema, verdictSchema } from './engine-schemas.ts';
import {
  among,
  count,
  list,
  named,
  object,
  optional,
  pair,
  type TypeOf,
  text,
  truth,
  union,
  word,
  yes,
} from './schema.ts';

const t = text();
const some = optional(t);

const stage = object({
  stage: among(['torque', 'angle', 'slacken']),
  torque: some,
  angle: some,
});

/** The act of a step, with every quantity written out. */
const act = object(
  {
    act: among([
      ...(['do', 'turn', 'turn-to', 'turn-until', 'tighten', 'remove', 'renew', 'wait', 'select'] as const),
      ...(['photograph', 'refer-to'] as const),
    ]),
    says: t,
    by: optional(text({ description: 'How far the crank is turned' })),
    provedBy: optional(text({ description: 'What shows that the crank stands there' })),
    joint: some,
    stages: optional(list(stage)),
    wrench: some,
    pattern: optional(list(count())),
    parts: optional(list(t)),
    time: some,
    pack: some,
    procedure: some,
    title: some,
  },
  { description: 'The act of the step, with the quantities written out' },
);
type Act = TypeOf<typeof act>;

const step = named(
  'OfferedStep',
  object({
    path: t,
    title: t,
    says: some,
    bore: optional(count()),
    hazards: list(
      object({
        id: t,
        signal: among(['danger', 'warning', 'caution', 'notice'], {
          description: 'Signal words of ANSI Z535.6',
        }),
        text: t,
        acknowledge: truth(),
      }),
    ),
    act: optional(act),
    uses: list(t),
  }),
);

const offer = named(
  'Offer',
  union(
    'offer',
    [
      object({ offer: word('acknowledge'), step: t }),
      object({
        offer: word('done'),
        step: t,
        together: optional(text({ description: 'The role of the second person' })),
        photograph: optional(yes),
        wrench: some,
        settings: optional(
          list(
            object({
              specifiedFrom: some,
              stage: count(),
              torque: t,
              set: t,
              gives: t,
              running: some,
              adapter: optional(object({ length: t, angle: t, wrench: t })),
            }),
          ),
        ),
        pattern: optional(list(count())),
        wait: some,
        choice: optional(verdictSchema),
      }),
      object({ offer: word('omit'), step: t, role: t }),
      object({
        offer: word('record'),
        entry: t,
        title: t,
        of: among(['reading', 'observation', 'field', 'identity']),
        unit: some,
        plausible: optional(pair(t)),
        instrument: optional(text({ description: 'The kind of instrument, as the pack names it' })),
        answers: optional(list(object({ id: t, text: t }))),
        example: some,
        limits: some,
        throughout: optional(list(t)),
        repeats: optional(
          object({
            next: count(),
            of: count(),
            take: among(['mean', 'lowest', 'highest']),
            agreeWithin: some,
            taken: list(object({ repeat: count(), fact: count(), value: t })),
            spread: some,
            isWide: truth(),
            worst: optional(count()),
          }),
        ),
        carry: optional(object({ pack: t, procedure: t, value: t, validFor: t, engine: t })),
      }),
      object({ offer: word('witness'), step: t, role: t }),
      object({
        offer: word('release'),
        by: among(['concession', 'rework', 'witness']),
        role: some,
        goesTo: some,
      }),
      object({ offer: word('park'), instructions: t }),
      object({ offer: word('resume'), confirm: list(object({ id: t, text: t })) }),
      object({ offer: word('close') }),
    ],
    { description: 'A command that would be taken now, with what its form needs' },
  ),
);

export const offersSchema = named(
  'Offers',
  object(
    {
      seq: count(),
      standing: among(['at-step', 'on-hold', 'parked', 'ready-to-close', 'closed']),
      since: text({ description: 'When the job came to where it stands: RFC 3339' }),
      step: optional(step),
      offers: list(offer),
      blocked: list(refusalSchema, { description: 'What cannot be done now, and why' }),
      hold: optional(object({ id: t, text: t, safety: truth(), step: t })),
      progress: object({ done: count(), of: count() }),
      crank: t,
    },
    {
      description:
        'What can be done now, what blocks the rest and why. A note, a strike and abandon are always open.',
    },
  ),
);

/** What a job offers, as it is sent: quantities are texts. */
export function offersSent({ step: at, ...rest }: Offers, since: string): TypeOf<typeof offersSchema> {
  return { ...rest, since, ...(at === undefined ? {} : { step: stepSent(at) }) };
}

function stepSent({ act: done, ...rest }: OfferedStep): TypeOf<typeof step> {
  return { ...rest, ...(done === undefined ? {} : { act: actSent(done) }) };
}

function actSent(done: NonNullable<OfferedStep['act']>): Act {
  switch (done.act) {
    case 'turn':
      return { ...done, by: writeQuantity(done.by) };
    case 'wait':
      return { ...done, time: writeQuantity(done.time) };
    case 'tighten': {
      const { act: is, says, joint, wrench, pattern } = done;
      return {
        ...{ act: is, says, joint },
        stages: done.stages.map((one) => ({
          stage: one.stage,
          ...(one.stage === 'torque' ? { torque: writeQuantity(one.torque) } : {}),
          ...(one.stage !== 'torque' && one.angle !== undefined ? { angle: writeQuantity(one.angle) } : {}),
        })),
        ...(wrench === undefined ? {} : { wrench }),
        ...(pattern === undefined ? {} : { pattern }),
      };
    }
    default:
      return done;
  }
}
