import { createHash } from 'node:crypto';
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { bundleOf, readPack } from '@ferrule/source';
import { beforeAll, describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { jobFileIn, scratch } from './scratch.ts';

const pack = 'specs/valve-clearance/1.0.0';
const job = ['--procedure', 'set-clearances', '--variant', 'marram-four'];
/** A text without its line breaks. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

let digest = '';
beforeAll(async () => {
  digest = bundleOf((await readPack(join(root, pack))).document).digest;
});

/** Every value is invented. */
const added = `roles: { watchman: { title: Watchman } }
conditions: { moored: { text: The boat is moored fast. } }
hazards: { swell: { signal: caution, text: The engine moves with the boat. } }
preliminary: [{ procedure: set-clearances, conditions: [moored], persons: [watchman] }]
cautions: [{ step: set-clearances/measure-inlet, hazards: [swell] }]
witnesses: [{ step: set-clearances/cloths-out, witness: lead }]
hold-points: [{ before: set-clearances/to-tdc-one, hold: nobody-aboard, text: Nobody else is aboard., witness: watchman }]
stricter: [{ tolerance: set-clearances/exhaust-limits, at-least: 0.41 mm, source: Standing orders }]
`;
const trials = `trials:
  - trial: at-the-quay
    says: An exhaust clearance that would do for the pack is set again.
    procedure: set-clearances
    variant: marram-four
    like: all-inside
    answers:
      persons: { watchman: watchman W }
      readings: { exhaust-clearance@1: [0.40 mm, 0.43 mm], exhaust-clearance: 0.43 mm }
      releases: { nobody-aboard: { by: witness, reason: Seen. } }
    expect: { outcome: closed, holds: [nobody-aboard], reworks: '1', verdicts: { exhaust-limits@1: [nonconforming, conforming] } }
`;

/** An overlay in a folder of the test. */
function overlayOf(written = added, over = digest, more: Readonly<Record<string, string>> = {}): string {
  const folder = scratch();
  const opening = `format: '1'\noverlay: lee-quay\nrevision: 2.0.0\ntitle: The lee quay\nover: { pack: valve-clearance, revision: 1.0.0, digest: '${over}' }\n`;
  for (const [path, text] of Object.entries({ 'overlay.yaml': opening + written, ...more })) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  return folder;
}

/** The digest of every file of the pack's folder. */
const fingerprint = (): readonly string[] =>
  readdirSync(join(root, pack), { withFileTypes: true, recursive: true })
    .filter((one) => one.isFile())
    .map((one) => join(one.parentPath, one.name))
    .sort()
    .map((path) => `${path} ${createHash('sha256').update(readFileSync(path)).digest('hex')}`);

function answersFile(text: string): string {
  const file = join(scratch(), 'answers.yaml');
  writeFileSync(file, text);
  return file;
}
const persons =
  'like: all-inside\npersons: { watchman: watchman W }\nreadings: { exhaust-clearance: 0.43 mm }\n';

describe('check with an overlay', () => {
  // With a limit that is stricter the feeler gauge of the pack is coarser than is usual, and that is told.
  it('proves the pack with it, says both names, and leaves the folder of the pack alone', async () => {
    const before = fingerprint();
    const overlay = overlayOf();
    const { exitCode, stdout } = ferrule(['check', pack, '--overlay', overlay]);
    expect(flat(stdout)).toContain(
      'valve-clearance 1.0.0 with overlay lee-quay 2.0.0: 0 errors, 1 warning in 6 files.',
    );
    expect(stdout).toContain('nothing refuted');
    expect(exitCode).toBe(0);
    const json = JSON.parse(ferrule(['check', pack, '--overlay', overlay, '--format', 'json']).stdout);
    expect(json.packs[0]).toMatchObject({
      overlaid: { overlay: 'lee-quay', over: digest },
      diagnostics: [{ code: 'too-coarse' }],
    });
    expect(json.packs[0].digest).not.toBe(digest);
    expect(fingerprint()).toEqual(before);
    expect(bundleOf((await readPack(join(root, pack))).document).digest).toBe(digest);
  });

  it('says what would weaken the pack, at its place in the overlay, and goes no further', () => {
    const overlay = overlayOf(added.replace('at-least: 0.41 mm', 'at-most: 0.46 mm'));
    const { exitCode, stdout } = ferrule(['check', pack, '--overlay', overlay]);
    const place = `${join(relative(root, overlay), 'overlay.yaml')}:13:65`;
    expect(flat(stdout)).toContain(
      `${place} error overlay-weakens 0.46 mm is no stricter upper limit: the pack has 0.40 mm to 0.45 mm.`,
    );
    expect(stdout).not.toContain('proof');
    expect(exitCode).toBe(1);
    for (const verb of [
      ['run', pack, ...job],
      ['sheet', pack, ...job],
      ['trial', pack],
    ]) {
      const ran = ferrule([...verb, '--overlay', overlay]);
      expect(ran.stdout).toContain('overlay-weakens');
      expect(ran.stdout).not.toContain('<html');
      expect(ran.exitCode).toBe(1);
    }
  });

  it('says which digest to write when the pack has changed', () => {
    const overlay = overlayOf(added, `sha256:${'0'.repeat(64)}`);
    const { exitCode, stdout } = ferrule(['check', pack, '--overlay', overlay]);
    expect(stdout).toContain('overlay-of-another');
    expect(flat(stdout)).toContain(`write under over: revision: 1.0.0, digest: '${digest}'`);
    expect(exitCode).toBe(1);
  });

  it('tells of names that the overlay declares and does not use, and of none of the pack', () => {
    const { stdout } = ferrule(['check', pack, '--overlay', overlayOf(added.replace(/^cautions.*\n/m, ''))]);
    expect(stdout.match(/unused-name/g)).toHaveLength(1);
    expect(stdout).toMatch(/overlay\.yaml:8:12 warning unused-name/);
  });

  it.each([
    [['check', pack, pack], 1, /laid over one pack/],
    [['check', pack, '--watch'], 1, /without --watch/],
    [['trial', pack, '--write-missing'], 1, /would write into that/],
    [['trial', pack, '--only', 'all-inside'], 1, /no trial all-inside here\. There is none/],
    [['check', pack], 2, /One overlay is laid over a pack/],
  ])('a call that makes no sense: %j', (words, times, says) => {
    const overlay = overlayOf();
    const { exitCode, stderr } = ferrule([...words, ...Array(times).fill(['--overlay', overlay]).flat()]);
    expect(flat(stderr)).toMatch(says);
    expect(exitCode).toBe(2);
  });

  it.each([
    ['a folder that is not there', () => join(scratch(), 'none'), 2, /folder of the overlay cannot be read/],
    ['a pack', () => join(root, 'specs/marram-unit-pumps/1.0.0'), 1, /The overlay has no overlay\.yaml/],
    ['the folder above', () => join(root, 'specs/east-station'), 1, /Did you mean .*east-station\/1\.0\.0/],
    [
      'an overlay of another pack',
      () => join(root, 'specs/east-station/1.0.0'),
      1,
      /Lay it over marram-unit-pumps/,
    ],
    ['an empty word', () => '', 2, /--overlay is an empty word\. Say what is meant/],
  ])('%s in place of an overlay', (_, folder, code, says) => {
    const { exitCode, stdout, stderr } = ferrule(['check', pack, '--overlay', folder()]);
    expect(flat(stdout + stderr)).toMatch(says);
    expect(exitCode).toBe(code);
  });

  it('an overlay in place of a pack', () => {
    const { exitCode, stdout } = ferrule(['check', 'specs/east-station/1.0.0']);
    expect(flat(stdout)).toMatch(
      /This is the folder of an overlay, and no pack\. Name the pack, and lay the overlay over it/,
    );
    expect(exitCode).toBe(1);
  });
});

describe('trial with an overlay', () => {
  it('runs the trials of the overlay, which may be like those of the pack', () => {
    const overlay = overlayOf(added, digest, { 'trials/quay.yaml': trials });
    const { exitCode, stdout } = ferrule(['trial', pack, '--overlay', overlay]);
    expect(stdout).toMatch(/^pass {2}at-the-quay/m);
    expect(stdout).toContain('1 passed, 0 failed');
    expect(flat(stdout)).toContain('its trials reach every hold, step and outcome that the overlay adds');
    expect(exitCode).toBe(0);
    const checked = ferrule(['check', pack, '--overlay', overlay, '--trials']);
    expect([checked.exitCode, checked.stdout.includes('failed-trial')]).toEqual([0, false]);
  });

  it('says when one fails, and what none reaches', () => {
    const wrong = trials.replace('nonconforming, conforming', 'conforming');
    const failed = ferrule([
      'trial',
      pack,
      '--overlay',
      overlayOf(added, digest, { 'trials/quay.yaml': wrong }),
    ]);
    expect(failed.stdout).toMatch(/^FAIL {2}at-the-quay/m);
    expect(failed.exitCode).toBe(1);
    expect(flat(failed.stdout)).toMatch(
      /\d places of the overlay that no trial of it reaches\. .*overlay\.yaml:12:\d+ no trial/,
    );
    const none = ferrule(['trial', pack, '--overlay', overlayOf()]);
    expect(none.stdout).toContain('0 passed, 0 failed');
  });
});

describe('run with an overlay', () => {
  it('names pack and overlay with both digests in the heading, at the end and in the job file', () => {
    const overlay = overlayOf();
    const store = scratch();
    const answers = answersFile(`${persons}releases: { nobody-aboard: { by: witness, reason: Seen. } }\n`);
    const { exitCode, stdout } = ferrule([
      'run',
      pack,
      ...job,
      '--overlay',
      overlay,
      '--answers',
      answers,
      '--jobs',
      store,
    ]);
    expect(exitCode).toBe(0);
    const { header } = { header: JSON.parse(readFileSync(jobFileIn(store), 'utf8').split('\n')[0] ?? '') };
    expect(header.overlay).toEqual({
      ...{ id: 'lee-quay', revision: '2.0.0', over: digest },
      digest: expect.stringMatching(/^sha256:[0-9a-f]{64}$/),
      path: relative(store, overlay),
    });
    expect(header.pack.digest).not.toBe(digest);
    const block = [
      'Overlay  The lee quay, lee-quay 2.0.0',
      header.overlay.digest,
      'over valve-clearance 1.0.0 as it was released',
      digest,
    ]
      .map((line) => line.replaceAll('.', '\\.'))
      .join('\\n +');
    expect(stdout.match(new RegExp(block, 'g'))).toHaveLength(2);
    expect(stdout).toMatch(new RegExp(`^Pack {5}.*\\n +${header.pack.digest}$`, 'm'));
    expect(stdout).toContain('Nobody else is aboard.');
    expect(flat(stdout)).toContain(
      'Marram four-cylinder, valve-clearance 1.0.0 with overlay lee-quay 2.0.0.',
    );
    expect(flat(ferrule(['jobs', 'used', store, 'FG-1']).stdout)).toContain('with overlay lee-quay 2.0.0');
  });

  it('goes on with the overlay that it was started with', () => {
    const overlay = overlayOf();
    const store = scratch();
    const { exitCode, stdout } = ferrule([
      'run',
      pack,
      ...job,
      '--overlay',
      overlay,
      '--answers',
      answersFile(persons),
      '--jobs',
      store,
    ]);
    expect(exitCode).toBe(1);
    expect(stdout).toMatch(/^Go on by hand: .* run --jobs \S+ --job \S+$/m);
    const id = jobFileIn(store).replace(/^.*\/(.*)\.jsonl$/, '$1');
    // The store has kept the pack with its overlay: neither is needed, and another one is told.
    const goOn = ['run', '--jobs', store, '--job', id];
    const other = overlayOf(added.replace('0.41', '0.42'));
    const moved = scratch();
    cpSync(overlay, moved, { recursive: true });
    for (const [words, isOther] of [
      [goOn, false],
      [['run', pack, ...goOn.slice(1), '--overlay', moved], false],
      [['run', pack, ...goOn.slice(1)], true],
      [['run', pack, ...goOn.slice(1), '--overlay', other], true],
    ] as const) {
      const again = ferrule(words, { lines: ['quit'] });
      expect(again.stdout).toContain(`The job ${id} goes on`);
      expect(again.stdout).toContain('Overlay  The lee quay, lee-quay 2.0.0');
      expect(flat(again.stderr).includes('as the store has kept it')).toBe(isOther);
      expect(again.exitCode).toBe(0);
    }
    // The list of unfinished jobs says it too.
    const begun = ferrule(['run', pack, ...job, '--jobs', store], { lines: [] });
    expect(flat(begun.stdout)).toContain('valve-clearance 1.0.0 with overlay lee-quay 2.0.0; last at');
    expect(flat(begun.stdout)).toContain('Go on with one: ');
  });

  it('does not go on with an overlay where it began without', () => {
    const store = scratch();
    ferrule([
      'run',
      pack,
      ...job,
      '--answers',
      answersFile('like: all-inside\nreadings: { inlet-clearance@4: abc }\n'),
      '--jobs',
      store,
    ]);
    const id = jobFileIn(store).replace(/^.*\/(.*)\.jsonl$/, '$1');
    const words = ['run', pack, '--jobs', store, '--job', id, '--overlay', overlayOf()];
    const again = ferrule(words, { lines: ['quit'] });
    expect(flat(again.stderr)).toContain('as the store has kept it');
    expect(again.stdout).not.toContain('Overlay  ');
    expect(again.exitCode).toBe(0);
    // A job of before packs were kept has only the folders.
    rmSync(join(store, 'packs'), { recursive: true });
    const { exitCode, stderr } = ferrule(words);
    expect(exitCode).toBe(1);
    expect(flat(stderr)).toContain('Leave --overlay out: it was started without one.');
  });

  it('says as data which overlay it was', () => {
    const { stdout } = ferrule([
      'run',
      pack,
      ...job,
      '--overlay',
      overlayOf(),
      '--answers',
      answersFile(persons),
      '--format',
      'json',
    ]);
    expect(JSON.parse(stdout)).toMatchObject({
      pack: { overlay: { id: 'lee-quay', over: digest } },
      ended: 'held',
      hold: 'nobody-aboard',
    });
  });
});

describe('a sheet with an overlay', () => {
  it('shows what is added, and both digests', () => {
    const overlay = overlayOf();
    const { exitCode, stdout } = ferrule(['sheet', pack, ...job, '--overlay', overlay]);
    expect(exitCode).toBe(0);
    const { overlaid, digest: whole } = JSON.parse(
      ferrule(['sheet', pack, ...job, '--overlay', overlay, '--format', 'json']).stdout,
    );
    expect(overlaid).toMatchObject({ overlay: 'lee-quay', over: digest });
    for (const text of [
      digest,
      overlaid.digest,
      whole,
      'With the overlay <b>lee-quay 2.0.0</b>: The lee quay',
      'with overlay <b>lee-quay 2.0.0</b>',
      'Nobody else is aboard.',
      'The engine moves with the boat.',
      'The boat is moored fast.',
      'Standing orders; the pack has 0.40 mm to 0.45 mm',
    ])
      expect(stdout).toContain(text);
    const alone = ferrule(['sheet', pack, ...job]).stdout;
    expect(alone).toContain(digest);
    expect(alone).not.toMatch(/overlay/i);
  });

  it('escapes what an overlay says', () => {
    const { stdout } = ferrule([
      'sheet',
      pack,
      ...job,
      '--overlay',
      overlayOf(added.replaceAll('Nobody else', '<script>x</script>')),
    ]);
    expect(stdout).not.toContain('<script>');
    expect(stdout).toContain('&lt;script&gt;');
  });
});
