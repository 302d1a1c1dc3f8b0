import { truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readJob } from '@ferrule/records';
import { describe, expect, it } from 'vitest';
import { converse, ferrule } from './ferrule.ts';
import { copyOfPack, jobFileIn, scratch } from './scratch.ts';
import { technician } from './technician.ts';

const pumps = 'specs/marram-unit-pumps/1.0.0';
const pack = 'specs/valve-clearance/1.0.0';
const clearance = ['run', pack, '--procedure', 'set-clearances', '--variant', 'marram-four'];
const setUp = ['technician A', 'lead C', 'FG-1', 'TW-1 2099-01-01'];
const toFirstReading = [...setUp, 'understood', ...Array<string>(12).fill('done')];

/** A screen without its line breaks. */
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');
const factsIn = (store: string) => {
  const read = readJob(jobFileIn(store));
  if (read.fault !== undefined) throw new Error(read.fault.message);
  return read.facts.map((one) => one.fact);
};
const jobIn = (store: string): string => jobFileIn(store).slice(store.length + 1, -'.jsonl'.length);

describe('the questions before a job', () => {
  it('can be gone back to, and ask about one number for two instruments', () => {
    const lines = ['back', 'technician A', 'back', 'technician B', 'lead C', 'FG-1', 'FG-1 2099-01-01'];
    const { stdout } = ferrule(clearance, {
      lines: [...lines, 'perhaps', 'n', 'TW-1 2099-01-01', 'who', 'quit', 'quit'],
    });
    expect(stdout).toContain('This is the first question.');
    expect(flat(stdout)).toContain(
      'FG-1 was named for "Feeler gauge" already. Is it "Torque wrench" as well?',
    );
    expect(stdout).toContain('Type yes or no; y and n do as well.');
    expect(stdout).toMatch(/^ {2}technician B, Technician \(acts now\)$/m);
    expect(stdout).toMatch(/^technician B {2}understood\? > /m);
  });

  it('ask for a second person at once where the work needs one', () => {
    const words = ['run', pumps, '--procedure', 'install-and-synchronise', '--variant', 'marram-four'];
    const { stdout } = ferrule(words, { lines: ['A', 'A', 'A', 'A', 'B', 'C', 'quit'] });
    expect(flat(stdout)).toMatch(/A fills every role, and "[^"]+" needs a second person\./);
    expect(stdout.match(/^Technician: who\? > /gm)).toHaveLength(2);
    expect(stdout).toMatch(/^Feeler gauge, non-magnetic: its number, or none > quit$/m);
  });
});

describe('a screen', () => {
  it('shows the limits with the work, before it is done, and the notice on every one', () => {
    const { stdout } = ferrule(clearance, { lines: [...toFirstReading.slice(0, -1), 'quit', 'quit'] });
    expect(flat(stdout)).toMatch(
      /Feel the clearance of inlet valve 1\. Then it is read: Bore 1: Clearance .* judged by inlet limits: 0\.25 mm to 0\.30 mm Type done when it is done\. technician A done\? > quit/,
    );
    expect(stdout.match(/^NOTICE {2}Demonstration data\.$/gm)).toHaveLength(
      stdout.match(/^Step \d+ of \d+ {2}\S/gm)?.length ?? 0,
    );
  });

  it('lists what has to be in hand one by one, and says what to do when a condition does not hold', () => {
    const lines = [...setUp, 'understood', 'no', 'maybe', 'yes', 'Y', 'done', 'quit', 'quit'];
    const { stdout } = ferrule(clearance, { lines });
    expect(flat(stdout)).toContain('Nothing has changed. Stop, put it right, and then type done.');
    expect(flat(stdout)).toContain('"maybe" means nothing here. Nothing has changed. Type done (or yes)');
    expect(stdout).toMatch(/^ {2}\[4\] Done: The battery is isolated/m);
    expect(stdout).toMatch(
      /^In hand and fit for use:\n {2}- Turning tool [^\n]*\n {2}- Ring spanner, long, [^\n]*\n/m,
    );
  });

  it('keeps within 80 columns where nothing is typed and nothing is to be copied', () => {
    const again = ['0.35', 'done', 'done', 'done', 'done'];
    const lines = [...toFirstReading, ...again, ...again, ...again, '0.35', 'facts all', 'instruments', '?'];
    const { stdout } = ferrule([...clearance, '--jobs', scratch()], { lines: [...lines, 'abandon Worn.'] });
    const long = stdout
      .split('\n')
      .filter((line) => [...line].length > 80 && !/> |The job is kept in |^Go on with it: /.test(line));
    expect(long).toEqual([]);
  });

  it('says that values of the other system are taken, and takes them', () => {
    const store = scratch();
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines: [...toFirstReading, '0.011 in'] });
    expect(stdout).toContain('values in inch (in) are taken too, when their unit is typed behind them');
    // 0.011 in = 0.2794 mm, by the definition of the inch (25.4 mm): computed.
    expect(flat(stdout)).toMatch(
      /CONFORMING: Bore 1: inlet limits: 0\.2794 mm ± 0\.\d+ mm; limits 0\.25 mm to 0\.30 mm/,
    );
  });
});

describe('a hold', () => {
  const again = ['0.35', 'done', 'done', 'done', 'done'];
  const toHold = [...toFirstReading, ...again, ...again, ...again, '0.35'];

  it('says every way on and no other, and gives the work back to who did it', () => {
    const lines = [
      ...toHold,
      'release rework now',
      'release',
      'who LEAD C',
      'release concession Worn rocker.',
    ];
    const { stdout } = ferrule([...clearance, '--jobs', scratch()], { lines });
    const screen = flat(stdout);
    expect(screen).toContain('at "Feel the clearance of inlet valve 1"');
    expect(screen).toMatch(
      /Ways on: release concession REASON by lead C \(Service-engineering lead\) strike NUMBER REASON if what led here was entered wrongly abandon REASON closes the job unfinished, for good/,
    );
    expect(screen).toContain('Say how: release concession REASON. technician A');
    expect(screen).toContain('Hold released by concession: Worn rocker. technician A acts again.');
    expect(stdout).toMatch(/^technician A {2}done\? > $/m);
  });

  it('names the step that a rework leads back to, not its path', async () => {
    const answer = technician({
      cylinders: 4,
      serial: 'ME-400217',
      idle: '790',
      top: '2390',
      picture: 'package.json',
    });
    let held = '';
    const { stdout } = await converse(
      ['run', pumps, '--procedure', 'install-and-synchronise', '--variant', 'marram-four'],
      (screen) => {
        held = screen;
        if (/^HOLD/m.test(screen)) return undefined;
        return /The control arm of this pump/.test(screen) ? '2' : answer(screen);
      },
    );
    expect(flat(held)).toMatch(
      /release rework REASON then goes on at "Hold the rack fully in" \(bore 1\) strike NUMBER REASON .* abandon REASON/,
    );
    expect(held).not.toContain('release concession');
    expect(stdout).not.toMatch(/goes on at \S*\//);
  });
});

describe('what was entered', () => {
  it('wrongly is struck, and marked where it stands', () => {
    const lines = [...toFirstReading, '0.28', 'strike 15 Wrong valve.', 'facts', 'quit', 'quit'];
    const { stdout } = ferrule(clearance, { lines });
    expect(stdout).toMatch(/^ {7}\d{4}-\d\d-\d\d$/m);
    expect(stdout).toMatch(/^ {3}15 {2}\d\d:\d\d {2}technician A {2}STRUCK by fact 17: Bore 1: Clearance/m);
    expect(flat(stdout)).toMatch(
      /17 \d\d:\d\d technician A Struck: fact 15 \(Bore 1: Clearance [^)]*\): Wrong valve\./,
    );
  });

  it('is struck without a way back only when that is confirmed', () => {
    // On from bore 1 to the next stop, where its follower is lifted.
    const lines = [...toFirstReading, '0.28', 'done', '0.42', 'done'];
    const store = scratch();
    const { stdout } = ferrule([...clearance, '--jobs', store], {
      lines: [...lines, 'strike 15 Wrong valve.', 'no', 'facts', 'strike 15 Wrong valve.', 'yes'],
    });
    const screen = flat(stdout);
    expect(screen).toMatch(/Not taken: What fact 15 says cannot be taken again in the present states/);
    expect(screen).toContain('Nothing but closing the job as unfinished is left then. yes or no? > no');
    expect(screen).toContain('Nothing was struck.');
    expect(screen).toMatch(/Nothing releases this hold any more\. Ways on: .*abandon REASON/);
    expect(factsIn(store).filter((one) => one.kind === 'struck')).toHaveLength(1);
    expect(factsIn(store).at(-1)?.kind).toBe('held');
  });

  it('is taken from somebody who insists, with the reason as a note', async () => {
    const store = scratch();
    const answer = technician({
      cylinders: 4,
      serial: 'ME-400217',
      idle: '790',
      top: '2390',
      picture: 'package.json',
    });
    const typed = ['MF-6399', 'insist it is stamped so', undefined];
    let times = 0;
    const { stdout } = await converse(
      ['run', pumps, '--procedure', 'install-and-synchronise', '--variant', 'marram-four', '--jobs', store],
      (screen) => {
        if (/Roller follower, bore 1, written like/.test(screen)) times += 1;
        return times < 2 ? answer(screen) : typed.shift();
      },
    );
    expect(flat(stdout)).toContain(
      'Not taken: MF-6399 was not in this engine; roller follower of bore 1 had MF-6301.',
    );
    expect(stdout).toContain('Note: Insisted: it is stamped so');
    expect(factsIn(store).slice(-4)).toMatchObject([
      { kind: 'identified', identity: 'MF-6399', part: 'renewed' },
      { kind: 'judged' },
      { kind: 'held' },
      { kind: 'noted', text: 'Insisted: it is stamped so' },
    ]);
  });

  it('has nothing to insist on before it was refused', () => {
    const { stdout } = ferrule(clearance, { lines: [...toFirstReading, 'insist', 'quit', 'quit'] });
    expect(stdout).toContain('There is nothing to insist on.');
  });
});

describe('a derived value', () => {
  it('is said with its operands before the work and in the verdict; so is each answer that is none', async () => {
    const folder = copyOfPack('marram-unit-pumps/1.0.0', [
      'procedures/close.yaml',
      /wait: .*/,
      'wait: 20 min',
    ]);
    const answer = technician({
      cylinders: 3,
      serial: 'ME-300094',
      idle: '812',
      top: '2455',
      picture: 'package.json',
    });
    let wrong: string | undefined = '7';
    const { stdout } = await converse(
      ['run', folder, '--procedure', 'install-and-synchronise', '--variant', 'marram-three'],
      (screen) => {
        if (/^ {2}Wait 20 min, until /m.test(screen)) return undefined;
        if (/^ {4}1 {2}Nowhere$/m.test(screen) && wrong !== undefined) {
          const typed = wrong;
          wrong = undefined;
          return typed;
        }
        return answer(screen);
      },
    );
    expect(flat(stdout)).toContain(
      'judged by drift limits: 0 mm ± 0.016 mm drift = after clamping − rack shift Drift, the indication after clamping less the one before rack shift is 0.036 mm Type done',
    );
    expect(flat(stdout)).toMatch(
      /CONFORMING: Bore 3: drift limits: drift 0\.005 mm ± 0\.\d+ mm = after clamping 0\.041 mm − rack shift 0\.036 mm; limits/,
    );
    expect(flat(stdout)).toContain('Bore 3: after clamping: The same, with the clamp screw');
    expect(flat(stdout)).toMatch(
      /"7" is none of the answers\. Nothing has changed\. Type 1 to 4: 1 Nowhere 2 At the nuts/,
    );
    expect(stdout).not.toMatch(/no unit/);
    expect(stdout).toMatch(/^ {2}Wait 20 min, until \d\d:\d\d(?: on \S+)?\.$/m);
  });
});

describe('people', () => {
  it('join with a role, and may then act', () => {
    const store = scratch();
    const lines = [...setUp, 'join lead', 'join lead lead D', 'who lead D', 'note Here I am.', 'who'];
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines });
    expect(flat(stdout)).toMatch(
      /Say which role and who: join ROLE NAME\. Roles: technician \(Technician\), lead/,
    );
    expect(stdout).toContain('Joined: lead D, Service-engineering lead');
    expect(stdout).toMatch(/^ {2}lead D, Service-engineering lead \(acts now\)$/m);
    expect(
      factsIn(store)
        .slice(-2)
        .map((one) => one.kind),
    ).toEqual(['joined', 'noted']);
  });
});

describe('a picture', () => {
  it('has to be a file of at most 20 MB', () => {
    const folder = copyOfPack('valve-clearance/1.0.0', [
      'procedures/set-clearances.yaml',
      'do: Take the rocker cover off.',
      'photograph: The rocker cover, as it comes off.',
    ]);
    const big = join(scratch(), 'big picture.jpg');
    writeFileSync(big, '');
    truncateSync(big, 20_000_001);
    const small = join(scratch(), 'small picture.jpg');
    writeFileSync(small, 'a picture');
    const words = ['run', folder, '--procedure', 'set-clearances', '--variant', 'marram-four'];
    const { stdout } = ferrule(words, {
      lines: [
        ...[...setUp, 'understood', ...Array<string>(6).fill('done')],
        ...['photo nowhere.jpg', `photo ${folder}`, `photo ${big}`, `photo "${small}"`, 'quit', 'quit'],
      ],
    });
    expect(flat(stdout)).toContain('Type photo and the path of the picture file');
    expect(stdout).toMatch(/There is no file nowhere\.jpg\./);
    expect(flat(stdout)).toMatch(/\S+ is no file\. Nothing was recorded\./);
    expect(flat(stdout)).toMatch(/has more than 20 MB\. Nothing was recorded\./);
    expect(stdout).toMatch(/\[9\] Done: The rocker cover, as it comes off/);
  });
});

describe('a closed job', () => {
  it('shows what it came to, and that nothing more can be done', () => {
    const store = scratch();
    const lines = [...toFirstReading, '0.35', 'strike 15 Wrong feeler.', 'abandon The rocker is worn.'];
    // A strike of what led to a rework: the reading is asked for again.
    ferrule([...clearance, '--jobs', store], { lines });
    const { exitCode, stdout } = ferrule(['run', pack, '--jobs', store, '--job', jobIn(store)], {
      lines: ['0.28'],
    });
    const screen = flat(stdout);
    expect(screen).toContain('is closed: nothing more can be done with it.');
    expect(screen).toContain('The job is closed, unfinished: The rocker is worn.');
    expect(screen).toMatch(
      /Pack .*valve-clearance 1\.0\.0 sha256:[0-9a-f]{64} Persons Technician: technician A/,
    );
    expect(stdout).toMatch(/^Bore 1: +0\.35 mm {2}0\.\d+ mm; +0\.25 mm to +STRUCK +0\.05 mm over {2}FG-1$/m);
    expect(screen).toMatch(
      /Struck - Fact 15, Bore 1: Clearance .* 0\.35 mm: Wrong feeler\. \(technician A\)/,
    );
    expect(screen).toMatch(/The engine is left so .*- rocker cover: off, and at the end it would be on/);
    expect(screen.match(/Ferrule never says that a job is safe\./g)).toHaveLength(2);
    expect(exitCode).toBe(0);
  });

  it('names persons, fields, parts by bore, observations, holds and what falls due', () => {
    const { stdout } = ferrule([
      'run',
      pumps,
      '--procedure',
      'install-and-synchronise',
      '--variant',
      'marram-four',
      '--answers',
      'docs/examples/marram-four.answers.yaml',
    ]);
    const screen = flat(stdout.slice(stdout.indexOf('\nThe job is closed.')));
    expect(screen).toMatch(/Persons Technician: technician A, Second person: technician B/);
    expect(screen).toMatch(
      /Written down - Serial number of the engine: ME-\d+ - Pilot boat and engine position: .* - Hours run/,
    );
    expect(screen).toMatch(/- Bore 1: Unit injection pump: found (\S+), fitted \1 \(belongs here\)/);
    expect(screen).toMatch(/Seen - Where is the pump side of the engine wet with fuel\? /);
    expect(screen).toMatch(/Holds - Before the first start .* Witness by lead C: /);
    expect(screen).toMatch(/Falls due next - A delivery balance test/);
  });
});

describe('a store', () => {
  it('says which of its jobs are unfinished when none is named', () => {
    const store = scratch();
    ferrule([...clearance, '--jobs', store], { lines: setUp });
    const { exitCode, stderr } = ferrule(['run', pack, '--jobs', store]);
    expect(stderr).toContain(`${jobIn(store)}: set-clearances, marram-four,`);
    expect(stderr).toMatch(/npx --no -- ferrule run --jobs \S+ --job \S+$/m);
    expect(exitCode).toBe(2);
    const { stdout } = ferrule([...clearance, '--jobs', store], { lines: ['quit'] });
    expect(stdout).toContain('Unfinished jobs in ');
    ferrule(['run', pack, '--jobs', store, '--job', jobIn(store)], { lines: ['abandon Enough.'] });
    expect(ferrule(['run', pack, '--jobs', store]).stderr).not.toContain('Unfinished');
  });
});

describe('hints', () => {
  it('are calls that work where they are printed', () => {
    const { stdout } = ferrule(['run', '--help'], { cwd: scratch() });
    expect(stdout).toMatch(/^ {2}ferrule run specs\//m);
    expect(ferrule(['run', '--help']).stdout).toMatch(/^ {2}npx --no -- ferrule run specs\//m);
  });

  it('recognise a file of trials that is given for answers', () => {
    const file = `${pack}/trials/trials.yaml`;
    const { exitCode, stderr } = ferrule([...clearance, '--answers', file]);
    expect(stderr).toMatch(/trials\.yaml holds trials\. .*"like: NAME".* marram-four: all-inside, /);
    expect(exitCode).toBe(2);
  });
});
