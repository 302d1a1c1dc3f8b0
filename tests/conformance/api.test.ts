import { decide, describeCells, type Fact, type Job, offers, resolve, start } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { describe, expect, test } from 'vitest';
import { conformanceCases } from './case.ts';

const cases = conformanceCases();
const morning = Date.UTC(2027, 0, 4, 8);

test('there are cases', () => {
  expect(cases.length).toBeGreaterThanOrEqual(12);
});

describe.each(cases)('%s', (_, one) => {
  const { pack, diagnostics } = validate(one.pack);
  const resolved =
    pack === undefined ? undefined : resolve(pack, { procedure: one.procedure, variant: one.variant });

  test(one.says, () => {
    expect([...diagnostics, ...(resolved?.diagnostics ?? [])]).toEqual([]);
    const plan = resolved?.plan;
    if (plan === undefined) throw new Error('no plan');
    const persons = Object.entries(one.persons).map(([role, person]) => ({ role, person }));
    const [first] = persons;
    const begun = start(
      plan,
      { bundle: 'sha256:0', persons, instruments: one.instruments },
      { at: new Date(morning).toISOString(), by: first?.person ?? '', id: 'start' },
    );
    expect(begun.refusals).toBeUndefined();
    let job: Job | undefined = begun.job;
    if (job === undefined) throw new Error('no job');
    for (const [number, move] of one.commands.entries()) {
      const at = move.at ?? new Date(morning + (number + 1) * 60_000).toISOString();
      const answer = decide(plan, job, move.command, { at, by: move.by, id: `m${number}` }, job.seq);
      const where = `command ${number + 1}: ${JSON.stringify(move.command)}`;
      if ('refused' in move) {
        expect(
          answer.refusals?.map(({ code }) => code),
          where,
        ).toEqual(move.refused);
        continue;
      }
      expect(answer.refusals, where).toBeUndefined();
      if (answer.job === undefined) throw new Error(where);
      const facts: readonly Fact[] = answer.facts;
      expect(
        facts.map(({ fact }) => fact),
        where,
      ).toMatchObject(move.facts);
      expect(facts, where).toHaveLength(move.facts.length);
      job = answer.job;
    }
    const now = offers(plan, job);
    expect(now.standing).toBe(one.end.standing);
    expect(now.hold?.id).toBe(one.end.hold);
    if (one.end.finished !== undefined)
      expect(job.control.closed).toBe(one.end.finished ? 'finished' : 'unfinished');
    const states = describeCells(plan, job.control);
    for (const [name, value] of Object.entries(one.end.states ?? {}))
      expect([name, states.get(name)]).toEqual([name, value]);
    const stored = JSON.parse(JSON.stringify(job.facts)) as readonly Fact[];
    expect(replay(plan, stored).job?.control).toEqual(job.control);
  });
});
