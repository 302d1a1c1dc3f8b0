import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';
import { describe, expect, it } from 'vitest';
import { type Coverage, coverageOf, draftTrials, runTrials, writeTrials } from '../src/index.ts';
import { folderOf, smallPack } from './folder.ts';

interface Opened {
  readonly pack: Pack;
  readonly digest: string;
}

async function opened(folder: string): Promise<Opened> {
  const { document, diagnostics: unread } = await readPack(folder);
  const { pack, diagnostics } = validate(document);
  if (pack === undefined || unread.length > 0)
    throw new Error(`the pack is not valid: ${JSON.stringify([...unread, ...diagnostics])}`);
  return { pack, digest: bundleOf(document).digest };
}

const small = (changes: Parameters<typeof smallPack>[0] = []): Promise<Opened> =>
  opened(folderOf(smallPack(changes)));

const covered = ({ pack, digest }: Opened): readonly Coverage[] => coverageOf(pack, runTrials(pack, digest));

const standing = (coverage: readonly Coverage[], wanted: string): readonly string[] =>
  coverage.flatMap((one) =>
    one.items.filter((item) => item.standing === wanted).map((item) => item.why ?? ''),
  );

function countsOf(coverage: readonly Coverage[], variant: string): Record<string, string> {
  const found = coverage[0]?.variants.find((one) => one.variant === variant);
  return Object.fromEntries(
    (found?.groups ?? []).map(({ group, reached, of }) => [group, `${reached} of ${of}`]),
  );
}

describe('coverage', () => {
  it('counts what is reached of what can be, for each variant', async () => {
    // By hand: confirming the equipment, cover off, probe, bend, cover on; met, too high, too low; rework and its last
    // attempt; the hold and its concession; the law.
    const coverage = covered(await small());
    expect(countsOf(coverage, 'small')).toEqual({
      steps: '5 of 5',
      branches: '0 of 0',
      outcomes: '2 of 3',
      reworks: '2 of 2',
      holds: '1 of 2',
      aside: '0 of 0',
      laws: '0 of 1',
    });
    expect(countsOf(coverage, 'large')).toMatchObject({
      steps: '0 of 5',
      outcomes: '0 of 3',
      laws: '1 of 1',
    });
  });

  it('tells how far it has come among the plans that it looks at, from the first on', async () => {
    const { pack, digest } = await small();
    const told: unknown[] = [];
    coverageOf(pack, runTrials(pack, digest), (_, variant, done, of) => told.push([variant, done, of]));
    expect(told).toEqual([
      ['small', 0, 2],
      ['large', 1, 2],
    ]);
  });

  it('names what no trial reaches, and what is reached in some variants only', async () => {
    const coverage = covered(await small());
    expect(standing(coverage, 'unreached')).toEqual([
      'no trial lets gap-limits be missed on the low side',
      'no trial releases ask-the-lead by concession',
    ]);
    const partly = standing(coverage, 'reached').filter((why) => why !== '');
    expect(partly).toContain(
      'only reached for small: a trial begins the rework of probe-gap after a result that is high or low',
    );
    expect(partly).toContain('only reached for large: a trial is refused by the law cover-off-to-read');
    expect(
      partly.every(
        (why) => why.startsWith('only reached for small') || why.endsWith('the law cover-off-to-read'),
      ),
    ).toBe(true);
    const law = coverage[0]?.items.find((item) => item.kind === 'law');
    expect(law?.pointer).toBe('/interlocks/0');
    expect(law?.variants.find((one) => one.variant === 'large')?.trials).toEqual(['under-the-cover']);
  });

  it('falls when a trial no longer comes to what it says', async () => {
    const coverage = covered(await small([['hold: ask-the-lead, reworks', 'hold: cover-on, reworks']]));
    expect(countsOf(coverage, 'small')).toMatchObject({
      outcomes: '1 of 3',
      reworks: '0 of 2',
      holds: '0 of 2',
    });
    expect(standing(coverage, 'unreached')).toContain('no trial uses up the 2 attempts of probe-gap');
  });

  it('does not count a law that a trial expects to refuse and that does not', async () => {
    const coverage = covered(await small([['law: cover-off-to-read }', 'law: cover-off-to-reed }']]));
    expect(standing(coverage, 'unreached')).toContain('no trial is refused by the law cover-off-to-read');
  });

  it('sets apart what no way comes to', async () => {
    const coverage = covered(
      await small([
        [
          '  - { step: cover-on, do: Put',
          "  - { step: lift, only-if: { state: { cover: 'on' } }, do: Lift it. }\n  - { step: cover-on, do: Put",
        ],
      ]),
    );
    expect(standing(coverage, 'unreachable').map((why) => why.split(',')[0])).toEqual([
      'no trial finds the only-if of lift true',
      'no trial does lift',
    ]);
    expect(countsOf(coverage, 'small')).toMatchObject({ steps: '5 of 5', branches: '1 of 1' });
  });

  it('sees an only-if that is passed over at the end of a rework, where the same signal opens it again', async () => {
    const changes: Parameters<typeof smallPack>[0] = [
      [
        '        - { step: bend, do: Bend the tongue. }\n',
        "        - { step: bend, do: Bend the tongue. }\n        - { step: lift, only-if: { state: { cover: 'on' } }, do: Lift it. }\n",
      ],
    ];
    const passed = covered(await small(changes))[0]?.items.find(
      (item) => item.kind === 'branch' && item.standing === 'reached',
    );
    expect(passed?.variants[0]?.trials).toEqual(['never-right']);
  });
});

describe('drafts of trials', () => {
  it('reach what was missing, at the limit and one last digit beyond it', async () => {
    const { pack, digest } = await small();
    const results = runTrials(pack, digest);
    const { trials, failed } = draftTrials(pack, digest, coverageOf(pack, results), results);
    expect(failed).toEqual([]);
    const readings = Object.values(trials).map((one) => one.answers?.readings);
    // The limits are 0.5 mm and 1.0 mm; read from the pack, one last digit beyond is 0.4 mm.
    expect(readings).toContainEqual({ gap: ['0.4 mm', '0.5 mm'] });
    for (const trial of Object.values(trials)) expect(trial.says).toMatch(/^Draft, to be looked over/);
    const more = { ...pack, trials: { ...pack.trials, ...trials } };
    const again = runTrials(more, digest);
    expect(again.flatMap((one) => one.failures)).toEqual([]);
    expect(standing(coverageOf(more, again), 'unreached')).toEqual([]);
  });

  it('go into branches, leave steps out, park and strike', async () => {
    const { pack, digest } = await small([
      [
        'tolerances:',
        "parking: { only-while: { cover: 'on' }, instructions: Hang the card on it., on-resuming: [cold] }\nobservations:\n  seat: { text: The seat is …, answers: { clean: clean, dirty: dirty } }\ntolerances:",
      ],
      [
        '  - { step: cover-on, do: Put',
        `  - { step: look, do: Look at the seat., observe: seat }
  - choose: what-was-seen
    cases: [{ when: { observed: { seat: dirty } }, steps: [{ step: wipe, do: Wipe the seat. }] }]
    otherwise: [{ step: leave, do: Leave it. }]
  - { step: seal, do: Seal the screw., not-applicable: lead }
  - { step: cover-on, do: Put`,
      ],
      [
        '    if-nonconforming:\n',
        "    if-struck:\n      rework: [{ step: off-again, only-if: { state: { cover: 'on' } }, do: Take it off again., changes: { cover: ['on', 'off'] } }]\n      resume-at: probe-gap\n      attempts: 2\n      exhausted: struck-too-often\n    if-nonconforming:\n",
      ],
      [
        "changes: { cover: ['off', 'on'] } }\n",
        "changes: { cover: ['off', 'on'] } }\n  - { step: sign, do: Sign the card. }\n",
      ],
      ['operations: {', 'conditions: { cold: { text: It is cold. } }\noperations: {'],
      ['instrument: feeler, plausible', "requires: { cover: 'off' }, instrument: feeler, plausible"],
      [
        '  ask-the-lead:',
        '  struck-too-often: { text: Stop., release: [{ rework: [], resume-at: probe-gap, times: 1 }] }\n  ask-the-lead:',
      ],
    ]);
    const results = runTrials(pack, digest);
    const { trials, failed } = draftTrials(pack, digest, coverageOf(pack, results), results);
    const drafts = Object.values(trials);
    const events = drafts.flatMap((one) => one.events ?? []);
    expect(drafts.map((one) => one.answers?.observations)).toContainEqual({ seat: 'dirty' });
    expect(events.some((one) => one['not-applicable'] !== undefined)).toBe(true);
    expect(events.some((one) => one.park !== undefined)).toBe(true);
    expect(events.some((one) => one.strike === 'gap')).toBe(true);
    const more = { ...pack, trials: { ...pack.trials, ...trials } };
    const after = coverageOf(more, runTrials(more, digest));
    // A draft strikes once, so what only a second strike leads to is left to a person, and said.
    expect(standing(after, 'unreached')).toEqual(failed.map((one) => one.unreached));
    expect(failed.map((one) => one.unreached)).toEqual([
      'no trial uses up the 2 attempts of probe-gap',
      'no trial comes to the hold struck-too-often',
      'no trial releases struck-too-often by rework',
    ]);
  });

  it('say why none can be made', async () => {
    // What is plausible begins at the lower limit.
    const { pack, digest } = await small([['plausible: [0 mm, 5 mm]', 'plausible: [0.5 mm, 5 mm]']]);
    const results = runTrials(pack, digest);
    const { failed } = draftTrials(pack, digest, coverageOf(pack, results), results);
    expect(failed.map((one) => one.unreached)).toEqual([
      'no trial lets gap-limits be missed on the low side',
    ]);
    expect(failed[0]?.why).toMatch(/plausible/);
  });

  it('reach everything that can be reached where there are no trials at all', async () => {
    const { pack, digest } = await opened('specs/valve-clearance/1.0.0');
    const none = { ...pack, trials: {} };
    const coverage = coverageOf(none, []);
    const { trials, failed } = draftTrials(none, digest, coverage, []);
    expect(failed).toEqual([]);
    const drafted = { ...none, trials };
    const results = runTrials(drafted, digest);
    expect(results.flatMap((one) => one.failures)).toEqual([]);
    const after = coverageOf(drafted, results);
    expect(standing(after, 'unreached')).toEqual([]);
    const counts = (all: readonly Coverage[]) =>
      all.flatMap((one) => one.variants.flatMap((two) => two.groups));
    expect(counts(after).map((one) => one.of)).toEqual(counts(coverage).map((one) => one.of));
    expect(counts(after).every((one) => one.reached === one.of)).toBe(true);
  });

  it('are read back as they were written', async () => {
    const trial = {
      says: "It's said: 'so', at -0.5 mm, 100 %, #1; on. [a]",
      procedure: 'p',
      variant: 'v',
      answers: { readings: { 'gap@1': ['-0.50 mm', '1.20 mm'], 'f.g': '1.10' } },
      events: [{ at: 'a/b=1/c', visit: '2', note: 'yes' }],
      expect: { outcome: 'closed' as const, reworks: '0', holds: [] },
    };
    const text = writeTrials({ one: trial }, 'Drafts\nof trials');
    const folder = folderOf({ 'pack.yaml': "format: '1'\n", 'trials/drafts.yaml': text });
    const { document, diagnostics } = await readPack(folder);
    expect(diagnostics).toEqual([]);
    expect(document['trials']).toEqual({ one: trial });
    expect(text.split('\n').slice(0, 3)).toEqual(['# Drafts', '# of trials', 'trials:']);
  });
});
