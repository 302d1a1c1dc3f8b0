import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readJob } from '@ferrule/records';
import { describe, expect, it } from 'vitest';
import { converse, ferrule } from './ferrule.ts';
import { copyOfPack, jobFileIn, scratch } from './scratch.ts';
import { technician } from './technician.ts';

const pumps = 'marram-unit-pumps/1.0.0';
/** Sealants and lifters take their time on a real engine. */
const shortWaits = (): string =>
  copyOfPack(
    pumps,
    ['procedures/close-governor.yaml', /wait: .*/, 'wait: 1 s'],
    ['procedures/close.yaml', /wait: .*/, 'wait: 1 s'],
  );

const engines = {
  'marram-three': { cylinders: 3, serial: 'ME-300094', idle: '812', top: '2455' },
  'marram-four': { cylinders: 4, serial: 'ME-400217', idle: '790', top: '2390' },
  'marram-five': { cylinders: 5, serial: 'ME-500036', idle: '771', top: '2340' },
} as const;

/** A screen without its line breaks. */
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

const kindsIn = (file: string): readonly string[] => {
  const read = readJob(file);
  if (read.fault !== undefined) throw new Error(read.fault.message);
  return read.facts.map((one) => one.fact.kind);
};

describe('a whole job by hand', () => {
  it.each(['marram-three', 'marram-five'] as const)('%s', async (variant) => {
    const store = scratch();
    const answer = technician({ ...engines[variant], picture: 'package.json' });
    const words = ['run', shortWaits(), '--procedure', 'install-and-synchronise', '--variant', variant];
    const { exitCode, stdout, stderr } = await converse([...words, '--jobs', store], answer);
    expect(stderr).toBe('');
    expect(stdout).toContain('NOTICE  Demonstration data.');
    expect(stdout).toContain('The job is closed.');
    expect(stdout).not.toContain('Not taken');
    expect(exitCode).toBe(0);
    const kinds = kindsIn(jobFileIn(store));
    expect(kinds.at(-1)).toBe('closed');
    expect(kinds.filter((kind) => kind === 'witnessed').length).toBeGreaterThan(0);
  });
});

describe('a wrong entry', () => {
  /** Where it is typed, what is typed, and what the answer to it has to say. */
  const wrong: readonly (readonly [at: RegExp, typed: string, says: RegExp, time?: number])[] = [
    [/in mm\n(?:.*\n)*.*feeler/i, 'wide enough', /Not taken: .*wide enough/],
    [/in mm\n(?:.*\n)*.*feeler/i, '0.75 bar', /Not taken: .*bar/],
    [
      /in mm\n(?:.*\n)*.*feeler/i,
      '1,234',
      /Not taken: (?:.*\n)*?.*1\.234(?:.*\n)*?.*1234|Not taken: .*1234.*\n?.*1\.234/,
    ],
    [/in mm\n(?:.*\n)*.*feeler/i, '', /Not taken: /],
    [/in mm\n(?:.*\n)*.*feeler/i, '75 mm', /Not taken: 75 mm cannot be right here/],
    [/in mm\n(?:.*\n)*.*feeler/i, '0.75 mm 0.80 mm', /Not taken: /],
    [/Where is the pump side/, '9', /"9" is none of the answers/],
    [/Serial number of the engine/, 'ME-12', /is not written like Serial number of the engine, for example/],
    [
      /Ask the crew what they complain of\.\n {2}Type done/,
      '',
      /Nothing was typed\. Nothing has changed\. Type done/,
    ],
    [
      /Ask the crew what they complain of\.\n {2}Type done/,
      '3812',
      /"3812" means nothing here\. Nothing has changed/,
    ],
    [
      /Roller follower, bore 1, written like/,
      'MF-6303',
      /MF-6303 came out of roller follower of bore 3; roller follower of\s+bore 1 had MF-6301/,
      2,
    ],
    [/Roller follower, bore 1, written like/, 'MF-6399', /MF-6399 was not in this engine/, 2],
  ];

  it('of every kind gets a useful answer, and changes nothing', async () => {
    const store = scratch();
    const answer = technician({ ...engines['marram-four'], picture: 'package.json' });
    const open = [...wrong];
    let waiting: { says: RegExp; before: string; typed: string } | undefined;
    let asked = '';
    const checked: string[] = [];
    const times = new Map<RegExp, number>();
    const contents = (): string =>
      readdirSync(store).length === 0 ? '' : readFileSync(jobFileIn(store), 'utf8');
    const words = ['run', shortWaits(), '--procedure', 'install-and-synchronise', '--variant', 'marram-four'];
    const { exitCode, stdout } = await converse([...words, '--jobs', store], (screen) => {
      if (waiting === undefined) {
        asked = screen;
        // A part is asked for as it is found, and a second time as it is fitted.
        for (const [at] of open) if (at.test(asked)) times.set(at, (times.get(at) ?? 0) + 1);
      } else {
        expect(screen).toMatch(waiting.says);
        expect(contents()).toBe(waiting.before);
        checked.push(waiting.typed);
        waiting = undefined;
      }
      const next = open.findIndex(([at, , , time = 1]) => at.test(asked) && times.get(at) === time);
      const [found] = next < 0 ? [] : open.splice(next, 1);
      if (found === undefined) return answer(asked);
      waiting = { says: found[2], before: contents(), typed: found[1] };
      return found[1];
    });
    expect(checked).toHaveLength(wrong.length);
    expect(stdout).toContain('The job is closed.');
    expect(exitCode).toBe(0);
    const file = readFileSync(jobFileIn(store), 'utf8');
    for (const typed of ['wide enough', '1,234', '75 mm', 'MF-6399'])
      expect(file).not.toContain(`"${typed}"`);
  });
});

const clearance = [
  'run',
  'specs/valve-clearance/1.0.0',
  '--procedure',
  'set-clearances',
  '--variant',
  'marram-four',
];
const setUp = ['technician A', 'lead C', 'FG-1', 'TW-1 2099-01-01'];
/** Up to the first reading: the clearance of inlet valve 1. */
const toFirstReading = [...setUp, 'understood', ...Array<string>(12).fill('done')];

describe('the conversation', () => {
  it('asks again for people and instruments until they can be used', () => {
    const lines = [
      '',
      '?',
      'technician A',
      'lead C',
      '',
      'FG-1',
      'TW-1',
      '2099-01-01',
      'TW-1 2020-01-01',
      'TW-1 2099-02-30',
      'quit',
    ];
    const store = scratch();
    const { exitCode, stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(stdout).toMatch(/Nobody was named/);
    expect(stdout).toMatch(/No last day of its calibration was typed/);
    expect(stdout).toMatch(/A date stands there without a number/);
    expect(stdout).toMatch(/The calibration of TW-1 ran out on 2020-01-01\./);
    expect(stdout).toMatch(/There is no day 2099-02-30\./);
    expect(stdout).toContain('The job was not started. Nothing was recorded.');
    expect(readdirSync(store)).toEqual([]);
    expect(exitCode).toBe(0);
  });

  it('shows place, hazards, crank, limits and instrument, and the verdict with what follows', () => {
    const store = scratch();
    const lines = [...toFirstReading, '0.35', 'done', 'done', 'done', 'done', '0,28', 'quit'];
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(stdout).toMatch(/^Step 1 of \d+ {2}Preliminary requirements$/m);
    expect(stdout).toMatch(/^WARNING {2}A turning crankshaft crushes fingers\./m);
    expect(stdout).toMatch(/^Crank: 0°|^Crank: TDC of cylinder 1, firing$/m);
    expect(stdout).toMatch(/^ {4}with Feeler gauge FG-1$/m);
    expect(stdout).toMatch(/^ {4}can be 0\.05 mm to 1\.00 mm$/m);
    expect(stdout).toMatch(/^ {4}judged by .*: 0\.25 mm to 0\.30 mm$/m);
    expect(flat(stdout)).toMatch(
      /NONCONFORMING: Bore 1: inlet limits: 0\.35 mm ± 0\.\d+ mm; limits 0\.25 mm to 0\.30 mm; 0\.05 mm too high; less than 1 % likely to lie inside/,
    );
    expect(flat(stdout)).toContain(
      'Now: rework, then on from "Feel the clearance of inlet valve 1"; judged 1 of at most 4 times.',
    );
    expect(flat(stdout)).toMatch(/ Step \d+ of \d+ [^.]* \/ rework Crank: /);
    expect(flat(stdout)).toMatch(
      / CONFORMING: Bore 1: inlet limits: 0\.28 mm ± 0\.\d+ mm; limits [^;]*; 0\.02 mm to spare/,
    );
    expect(stdout).toMatch(/^Go on with it: npx --no -- ferrule run --jobs \S+ --job \S+$/m);
  });

  it('goes on after a value of very many digits, which is taken as typed or refused as too long', () => {
    const wide = copyOfPack(
      'valve-clearance/1.0.0',
      ['procedures/set-clearances.yaml', 'plausible: [0.05 mm, 1.00 mm]', 'plausible: [0.05 mm, 100 mm]'],
      ['pack.yaml', 'range: [0.05 mm, 1.00 mm]', 'range: [0.05 mm, 100 mm]'],
    );
    const store = scratch();
    // 65 characters are one too many; 64 become 67 with the unit behind them.
    const tooLong = `15.${'1'.repeat(62)}`;
    const longest = `15.${'1'.repeat(61)}`;
    const words = ['run', wide, ...clearance.slice(2), '--jobs', store];
    const { exitCode, stdout, stderr } = ferrule(words, {
      lines: [...toFirstReading, tooLong, longest, 'done', 'quit'],
    });
    expect(stderr).toBe('');
    expect(flat(stdout)).toMatch(
      /> 15\.1{62} Not taken: A quantity has at most 64 characters; this has 65\./,
    );
    expect(stdout).toContain('NONCONFORMING: Bore 1: inlet limits: \u2248 15.111111111 mm');
    expect(kindsIn(jobFileIn(store)).slice(-4)).toEqual(['done', 'reading', 'judged', 'done']);
    expect(exitCode).toBe(0);
    const job = jobFileIn(store).slice(store.length + 1, -'.jsonl'.length);
    const again = ferrule(['run', wide, '--jobs', store, '--job', job], { lines: ['quit'] });
    expect(flat(again.stdout)).toMatch(/The job \S+ goes on; 17 facts are recorded\./);
    expect(readFileSync(jobFileIn(store), 'utf8')).toContain(longest);
    expect(again.exitCode).toBe(0);
  });

  it('takes notes and strikes, lists facts, and lets another person act', () => {
    const store = scratch();
    const lines = [
      ...toFirstReading,
      '0.28',
      'note The rocker is worn.',
      'facts',
      'strike',
      'strike 2 because',
      'who',
      'who nobody',
      'who lead C',
      'where',
      'instruments',
      'equip x',
      'equip torque-wrench TW-2 2099-01-01',
    ];
    const { exitCode, stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(stdout).toMatch(/Note: The rocker is worn\./);
    expect(stdout).toMatch(/Fact 2 \(acknowledged\) cannot be struck\./);
    expect(stdout).toMatch(/nobody is not in this job\. There is technician A, lead C\./);
    expect(stdout).toMatch(/^lead C {2}done\? > /m);
    expect(stdout).toMatch(/rocker-cover off/);
    expect(stdout).toMatch(/Kinds: feeler-gauge, torque-wrench\./);
    expect(stdout).toMatch(/Instrument: Torque wrench TW-2, calibrated until 2099-01-01/);
    expect(kindsIn(jobFileIn(store)).slice(-4)).toEqual(['reading', 'judged', 'noted', 'equipped']);
    expect(exitCode).toBe(0);
  });

  it('strikes a reading by its number: it stays, and is asked for again', () => {
    const store = scratch();
    const first = ferrule([...clearance, '--jobs', store], { lines: [...toFirstReading, '0.28'] });
    const seq = /\[(\d+)\] Bore 1: Clearance/.exec(first.stdout)?.[1] ?? '';
    const id = jobFileIn(store).slice(store.length + 1, -'.jsonl'.length);
    const lines = [`strike ${seq} Read at the wrong valve.`, '0.27', 'quit'];
    const { stdout } = ferrule(['run', 'specs/valve-clearance/1.0.0', '--jobs', store, '--job', id], {
      lines,
    });
    expect(flat(stdout)).toMatch(
      new RegExp(`Struck: fact ${seq} \\(Bore 1: Clearance [^)]*\\): Read at the wrong valve\\.`),
    );
    expect(kindsIn(jobFileIn(store)).slice(-3)).toEqual(['struck', 'reading', 'judged']);
    expect(readFileSync(jobFileIn(store), 'utf8')).toContain('"0.28"');
  });

  it('parks with instructions, and resumes only when everything is confirmed', () => {
    const store = scratch();
    const lines = [
      ...toFirstReading,
      'park',
      'park End of the day.',
      '0.28',
      'resume',
      'no',
      'resume',
      'yes',
      'yes',
      'yes',
      '0.28',
    ];
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(stdout).toMatch(/Before you leave: Cover the open head/);
    expect(stdout).toMatch(/"0\.28" means nothing here\. Nothing has changed\. Type resume/);
    expect(stdout).toMatch(/Not taken: Before the job goes on this is still to be confirmed: /);
    expect(kindsIn(jobFileIn(store)).slice(-4)).toEqual(['parked', 'resumed', 'reading', 'judged']);
  });

  it('holds, refuses the one who did the work, and lets the lead grant a concession', () => {
    const store = scratch();
    const again = ['0.35', 'done', 'done', 'done', 'done'];
    const lines = [
      ...toFirstReading,
      ...again,
      ...again,
      ...again,
      '0.35',
      'release',
      'release concession Worn rocker.',
      'who lead C',
      'release concession',
      'release concession Worn rocker, renewed next time.',
      'quit',
    ];
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(stdout).toMatch(/Now: judged 4 of at most 4 times, so the job is on hold\./);
    expect(stdout).toMatch(/^HOLD {2}The clearance of this valve cannot be brought inside its limits\./m);
    expect(stdout).toMatch(/^ {4}release concession REASON {2}by lead C \(Service-engineering lead\)$/m);
    expect(stdout).toMatch(/Not taken: technician A is not Service-engineering lead in this job\./);
    expect(stdout).toMatch(/Not taken: The reason is missing\./);
    expect(stdout).toMatch(/Hold released by concession: Worn rocker, renewed next time\./);
    expect(kindsIn(jobFileIn(store)).slice(-2)).toEqual(['held', 'released']);
  });

  it('does not take an answer for a word, nor a word for an answer', () => {
    const pack = copyOfPack('marram-unit-pumps/1.0.0', [
      'procedures/take-in.yaml',
      /steps:\n[\s\S]*?( {2}- step: crew-complaint)/,
      'steps:\n$1',
    ]);
    const store = scratch();
    const lines = [
      ...['technician A', 'technician B', 'lead C', 'FN-2', 'DG-07 2099-12-31', 'DI-11 2099-12-31', 'SR-1'],
      ...['TL-03 2099-12-31', 'TM-05 2099-12-31', 'TA-02 2099-12-31', 'OP-04', 'understood'],
      ...Array<string>(8).fill('done'),
      '?',
      '/note She came in late.',
      'park brake slips, strike 2 bells',
    ];
    const words = [
      'run',
      pack,
      '--procedure',
      'install-and-synchronise',
      '--variant',
      'marram-four',
      '--jobs',
      store,
    ];
    const { stdout } = ferrule(words, { lines });
    expect(stdout).toMatch(/put a \/ before a word that takes more/);
    expect(stdout).toMatch(/Note: She came in late\./);
    expect(flat(stdout)).toContain('in their own words: park brake slips, strike 2 bells');
    expect(kindsIn(jobFileIn(store)).slice(-2)).toEqual(['noted', 'filled']);
  });

  it('asks twice before it loses a job that is not kept', () => {
    const { exitCode, stdout } = ferrule(clearance, { lines: [...setUp, 'quit', 'quit'] });
    expect(stdout).toContain('This job is not kept, and leaving loses it. Type quit again to leave.');
    expect(stdout).toContain('The job was not kept: there was no --jobs STORE.');
    expect(exitCode).toBe(0);
  });

  it('keeps everything when it is interrupted, and says where', async () => {
    const store = scratch();
    const lines = [...setUp, 'understood', 'done'];
    const { exitCode, stdout } = await converse([...clearance, '--jobs', store], (_screen, child) => {
      const line = lines.shift();
      if (line === undefined) child.kill('SIGINT');
      return line ?? new Promise(() => undefined);
    });
    expect(stdout).toMatch(/^The job is kept in \S+\.jsonl\nGo on with it: npx --no -- ferrule run /m);
    // 128 and the number of the signal, as POSIX shells report it.
    expect(exitCode).toBe(130);
    expect(kindsIn(jobFileIn(store))).toEqual(['started', 'acknowledged', 'done']);
  });

  it('shows signs that would move the cursor as what they are', () => {
    const { stdout } = ferrule(clearance, { lines: ['\u001b[2Jtechnician A', 'lead C', 'quit'] });
    expect(stdout).not.toContain('\u001b');
    expect(stdout).toContain('\ufffd[2Jtechnician A');
  });

  it('keeps the conversation apart from the result in JSON', () => {
    const store = scratch();
    const { stdout, stderr } = ferrule([...clearance, '--jobs', store, '--format', 'json'], {
      lines: [...setUp, 'quit'],
    });
    expect(JSON.parse(stdout)).toMatchObject({
      standing: 'at-step',
      facts: [{ seq: 1, fact: { kind: 'started' } }],
    });
    expect(stderr).toContain('Technician: who? > ');
    expect(existsSync(join(store))).toBe(true);
  });
});
