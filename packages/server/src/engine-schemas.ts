import {
  type Command,
  type Fact,
  type FactBody,
  type InstrumentUsed,
  type Origin,
  type Referral,
  type Refusal,
  refusalCodes,
  verdicts,
  type WrittenVerdict,
} from '@ferrule/engine';
import {
  among,
  count,
  list,
  named,
  object,
  optional,
  pair,
  type Schema,
  sameAs,
  text,
  truth,
  union,
  word,
  yes,
} from './schema.ts';

const t = text();
const some = optional(t);
const someCount = optional(count());
const insist = optional(
  truth({ description: 'Taken although it was refused once, as unexpected-identity or no-way-back' }),
);
const reason = text({ description: 'In words; not empty' });
const step = text({ description: 'The path of the step, as the offers give it' });
const entry = text({ description: 'The name of the entry, as the offers give it' });

const digest = text({
  pattern: '^sha256:[0-9a-f]{64}$',
  description: 'SHA-256, in hexadecimal digits',
});

export const instrumentSchema: Schema<InstrumentUsed> = named(
  'Instrument',
  sameAs<InstrumentUsed>()(
    object(
      {
        kind: text({ description: 'The id of the instrument in the pack' }),
        identity: text({ description: 'The number that the shop knows it by' }),
        due: optional(
          text({ description: 'Until when its calibration holds: a date, or a time as RFC 3339 writes it' }),
        ),
        range: optional(pair(t, { description: 'From, to; each with its unit' })),
        resolution: some,
        maximumPermissibleError: some,
        commonError: optional(
          text({ description: 'The part of the permissible error that all its readings share' }),
        ),
        calibration: optional(
          object({ expandedUncertainty: t, coverageFactor: t, degreesOfFreedom: someCount }),
        ),
        length: optional(
          text({ description: 'Of a torque wrench: from its drive to the middle of the grip' }),
        ),
      },
      { description: 'An instrument, as it is at the time' },
    ),
  ),
);

const photograph = object(
  { digest: t, name: t },
  { description: 'A picture by the digest of its bytes; POST /jobs/{job}/photographs keeps the bytes' },
);

const verdictWord = among(verdicts);
const because = among(['inside-guard-band', 'instrument-too-coarse', 'uncertainty-unknown', 'beyond-scale']);

const carriedUncertainty = object({ expandedUncertainty: t, coverageFactor: t, degreesOfFreedom: someCount });

export const originSchema: Schema<Origin> = named(
  'HandedOn',
  sameAs<Origin>()(
    object(
      {
        job: t,
        record: some,
        pack: t,
        revision: t,
        bundle: t,
        procedure: t,
        variant: t,
        closed: optional(among(['finished', 'unfinished'])),
        fields: list(object({ name: t, text: t })),
        values: list(
          object({
            name: t,
            title: t,
            because: optional(among(['struck', 'missing', 'beyond-scale'])),
            at: some,
            digits: some,
            unit: some,
            exact: some,
            verdict: optional(verdictWord),
            uncertainty: optional(carriedUncertainty),
            instruments: optional(list(t)),
          }),
        ),
      },
      { description: 'What a closed job hands on to others; the origin of the command carry' },
    ),
  ),
);

/** The commands, each in its own form: those of the engine, which stops the compiler where one is missing. */
export const commandSchema: Schema<Command> = named(
  'Command',
  sameAs<Command>()(
    union(
      'command',
      [
        object({ command: word('acknowledge'), step }, { description: 'The hazards of the step were read' }),
        object(
          {
            command: word('done'),
            step,
            together: optional(text({ description: 'The second person, where two act together' })),
            instrument: optional(
              text({ description: 'Identity of the torque wrench, where the step tightens' }),
            ),
            photograph: optional(photograph),
          },
          { description: 'The act of the step was done' },
        ),
        object(
          { command: word('omit'), step, reason },
          { description: 'The step does not apply to this engine' },
        ),
        object(
          {
            command: word('record'),
            entry,
            value: text({
              description: 'As it was typed: a reading, the id of an answer, a serial number or a text',
            }),
            instrument: optional(text({ description: 'Identity of the instrument that took the reading' })),
            insist,
            held: optional(truth({ description: 'What has to hold throughout the reading did' })),
          },
          { description: 'A value as it was typed' },
        ),
        object(
          { command: word('carry'), entry, origin: originSchema },
          { description: 'The value of a reading is taken over from an earlier job' },
        ),
        object(
          { command: word('witness'), step },
          { description: 'Another person has looked at the result' },
        ),
        object(
          { command: word('release'), by: among(['concession', 'rework', 'witness']), reason },
          { description: 'Releases the hold that is open' },
        ),
        object(
          {
            command: word('strike'),
            target: count({ description: 'The number of the fact' }),
            reason,
            insist,
          },
          { description: 'What a fact says no longer counts' },
        ),
        object(
          { command: word('equip'), instrument: instrumentSchema },
          { description: 'An instrument is used from now on' },
        ),
        object(
          {
            command: word('allow'),
            instrument: text({ description: 'Its identity' }),
            because: among(['beyond-instrument', 'instrument-overdue']),
            reason,
          },
          { description: 'Allows an instrument that was refused, by concession of who asks' },
        ),
        object(
          {
            command: word('out-of-stock'),
            stock: t,
            size: t,
            back: optional(truth({ description: 'It is there again' })),
          },
          { description: 'A size is not in the drawer' },
        ),
        object(
          { command: word('join'), role: t, person: t },
          { description: 'Somebody takes a role from now on' },
        ),
        object({ command: word('note'), text: t }, { description: 'A remark' }),
        object({ command: word('park'), reason }, { description: 'The job is left for a time' }),
        object(
          {
            command: word('resume'),
            confirmed: list(t, {
              description: 'The ids of what has to be confirmed, as the offers give them',
            }),
          },
          { description: 'A parked job goes on' },
        ),
        object({ command: word('close') }, { description: 'The job is finished' }),
        object({ command: word('abandon'), reason }, { description: 'The job is closed as unfinished' }),
      ],
      { description: 'What a person asks of a job; docs/semantics.md says when each is taken' },
    ),
  ),
);

const choice = object({
  stock: t,
  sizes: list(t),
  total: t,
  fitted: t,
  stays: optional(yes),
  predicted: t,
  variance: some,
  expandedUncertainty: some,
});
const elapsed = optional(list(object({ since: t, until: some, seconds: t })));
const beyond = optional(among(['above', 'below']));
const assessment = optional(
  named(
    'Assessment',
    object(
      {
        rule: t,
        standardUncertainty: t,
        expandedUncertainty: t,
        coverageFactor: t,
        degreesOfFreedom: someCount,
        variance: t,
        acceptance: some,
        probability: t,
        capability: some,
        needed: some,
        doubtful: optional(yes),
      },
      { description: 'What the uncertainty said about a verdict' },
    ),
  ),
);

export const verdictSchema: Schema<WrittenVerdict> = named(
  'Verdict',
  sameAs<WrittenVerdict>()(
    union(
      'verdict',
      [
        object({
          verdict: word('conforming'),
          ...{ value: some, limits: some, margin: some, exact: some },
          ...{ chosen: optional(choice), standsOut: some, elapsed, beyond, assessment },
        }),
        object({
          verdict: word('nonconforming'),
          side: optional(among(['low', 'high'])),
          ...{ value: some, limits: some, excess: some, exact: some },
          ...{ chosen: optional(choice), standsOut: some, elapsed, because: some, beyond, assessment },
        }),
        object({
          verdict: word('inconclusive'),
          ...{ value: some, limits: t, because },
          ...{ exact: some, standsOut: some, elapsed, beyond, assessment },
        }),
      ],
      { description: 'A verdict with its value, its limits and an exact fraction of the base unit' },
    ),
  ),
);

const setting = object({
  specifiedFrom: some,
  stage: count(),
  torque: t,
  set: t,
  gives: t,
  running: some,
  adapter: optional(object({ length: t, angle: t, wrench: t })),
});

const persons = list(object({ role: t, person: t }));

const bodySchema: Schema<FactBody> = named(
  'FactBody',
  sameAs<FactBody>()(
    union(
      'kind',
      [
        object({
          kind: word('started'),
          pack: t,
          revision: t,
          bundle: t,
          procedure: t,
          variant: t,
          persons,
          instruments: list(instrumentSchema),
        }),
        object({ kind: word('equipped'), instrument: instrumentSchema }),
        object({
          kind: word('allowed'),
          instrument: t,
          because: among(['beyond-instrument', 'instrument-overdue']),
          reason: t,
        }),
        object({ kind: word('out-of-stock'), stock: t, size: t, back: optional(yes) }),
        object({ kind: word('joined'), role: t, person: t }),
        object({
          kind: word('branched'),
          step: t,
          decided: list(object({ condition: t, truth: truth(), explanation: t })),
        }),
        object({ kind: word('acknowledged'), step: t, hazards: list(t) }),
        object({
          kind: word('done'),
          step: t,
          together: some,
          instrument: optional(instrumentSchema),
          settings: optional(list(setting)),
          photograph: optional(photograph),
          since: some,
        }),
        object({ kind: word('referred'), step: t, pack: t, procedure: t, title: t, together: some }),
        object({ kind: word('omitted'), step: t, reason: t }),
        object({
          kind: word('reading'),
          step: t,
          entry: t,
          typed: t,
          digits: t,
          unit: t,
          instrument: optional(instrumentSchema),
          beyond,
          repeat: someCount,
          open: optional(yes),
          spread: some,
          wide: optional(yes),
          value: some,
          throughout: optional(list(t)),
          outlier: someCount,
        }),
        object({
          kind: word('carried'),
          step: t,
          entry: t,
          digits: t,
          unit: t,
          exact: t,
          from: object({
            job: t,
            record: some,
            pack: t,
            revision: t,
            bundle: t,
            procedure: t,
            value: t,
            at: t,
            engine: t,
            verdict: optional(verdictWord),
            instruments: optional(list(t)),
          }),
          uncertainty: optional(carriedUncertainty),
        }),
        object({ kind: word('observed'), step: t, entry: t, answer: t }),
        object({ kind: word('filled'), step: t, entry: t, text: t }),
        object({
          kind: word('identified'),
          step: t,
          entry: t,
          identity: t,
          part: among(['found', 'own', 'other', 'renewed']),
        }),
        object({ kind: word('judged'), step: t, of: t, verdict: verdictSchema }),
        object({
          kind: word('struck'),
          target: count(),
          entry: some,
          step: t,
          reason: t,
          open: optional(yes),
          also: optional(list(count())),
        }),
        object({ kind: word('held'), hold: t, step: t, text: t }),
        object({
          kind: word('released'),
          hold: t,
          step: t,
          by: among(['concession', 'rework', 'witness']),
          release: count(),
          reason: t,
        }),
        object({ kind: word('witnessed'), step: t }),
        object({ kind: word('noted'), text: t }),
        object({ kind: word('parked'), reason: t }),
        object({ kind: word('resumed'), confirmed: list(t) }),
        object({ kind: word('closed'), finished: truth(), reason: some }),
      ],
      { description: 'What happened; docs/semantics.md lists the kinds' },
    ),
  ),
);

export const factSchema: Schema<Fact> = named(
  'Fact',
  sameAs<Fact>()(
    object(
      {
        format: word('1'),
        seq: count({ description: 'Counts from 1 without gaps' }),
        id: text({ description: 'The id of the command, and the place of the fact in its batch' }),
        at: text({ description: 'RFC 3339' }),
        by: t,
        fact: bodySchema,
      },
      { description: 'One thing that happened, as it is stored' },
    ),
  ),
);

export const refusalSchema: Schema<Refusal> = named(
  'Refusal',
  sameAs<Refusal>()(
    object(
      { code: among(refusalCodes), message: t, remedy: t, about: some },
      { description: 'Why a command was not taken; docs/semantics.md lists the codes' },
    ),
  ),
);

export const referralSchema: Schema<Referral> = named(
  'Referral',
  sameAs<Referral>()(
    object(
      { pack: t, procedure: t, title: t, step: t, seq: count() },
      { description: 'A procedure that the job has led to' },
    ),
  ),
);

export { digest as digestSchema, persons as personsSchema };
