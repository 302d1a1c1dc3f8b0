import { type Dirent, existsSync, type FSWatcher, readdirSync, statSync, watch } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { type CheckReport, checkPack, ProvenPlans } from '@ferrule/check';
import type { Diagnostic } from '@ferrule/engine';
import { policyBeside, readPolicyFile } from '@ferrule/source';
import { type ExitCode, INTERRUPTED } from '../terminal/exit-code.ts';
import { clearScreen, progress, say, sayJsonLine } from '../terminal/output.ts';
import { type CheckFormat, describeReport, writeReport } from './check-packs.ts';
import { callFault, isNoPack, noPack } from './open-pack.ts';
import { writeDiagnostic } from './write-diagnostic.ts';

interface WatchCall {
  readonly format: CheckFormat;
  readonly graph?: string;
}

/** An editor writes a file in several goes; this long after the last one it is taken for written. */
const QUIET = 40;
/** Where no events come, as from drives of other machines, changes are looked for this often. */
const LOOK_AGAIN = 1000;

/** Checks packs, and each again whenever one of its files changes, until an interrupt. */
export async function watchPacks(
  folders: readonly string[],
  { format, graph }: WatchCall,
): Promise<ExitCode | typeof INTERRUPTED> {
  if (format === 'sarif' || graph !== undefined)
    return callFault('--watch writes text or json, and draws nothing.').exitCode;
  const watched = folders.map((folder) => new WatchedPack(folder, format));
  for (const pack of watched) {
    const fault = await pack.check();
    if (fault !== undefined) return fault;
  }
  return new Promise((done, fail) => {
    let isBusy = false;
    let quiet: NodeJS.Timeout | undefined;
    const lookAll = async (): Promise<void> => {
      if (isBusy) return;
      isBusy = true;
      for (const pack of watched) {
        pack.arm(stir);
        // What changes while a check runs is looked at once more after it.
        while (pack.hasChanged()) {
          if (watched.length === 1) clearScreen();
          await pack.check();
          pack.arm(stir);
        }
      }
      isBusy = false;
    };
    const look = (): void => {
      lookAll().catch(fail);
    };
    const stir = (): void => {
      clearTimeout(quiet);
      quiet = setTimeout(look, QUIET);
    };
    const again = setInterval(look, LOOK_AGAIN);
    process.once('SIGINT', () => {
      clearTimeout(quiet);
      clearInterval(again);
      for (const pack of watched) pack.disarm();
      done(INTERRUPTED);
    });
    stir();
    progress('Watching. Ctrl-C ends it.');
  });
}

class WatchedPack {
  readonly #folder: string;
  readonly #format: 'text' | 'json';
  readonly #proven = new ProvenPlans();
  readonly #watchers = new Map<string, FSWatcher>();
  #known: ReadonlyMap<string, Diagnostic> | undefined;
  #seen = '';

  constructor(folder: string, format: 'text' | 'json') {
    this.#folder = folder;
    this.#format = format;
  }

  /** Whether a file was changed, added or removed since the last check began. */
  hasChanged(): boolean {
    return fingerprint(this.#folder) !== this.#seen;
  }

  /** Checks the pack and says what is wrong, what is new and what is gone. A folder that never was there is a fault of the call. */
  async check(): Promise<ExitCode | undefined> {
    this.#seen = fingerprint(this.#folder);
    const began = performance.now();
    const found = policyBeside(this.#folder);
    const policy = found === undefined ? undefined : (await readPolicyFile(found)).policy;
    const report = await checkPack(this.#folder, { proven: this.#proven, policy });
    if (isNoPack(report.diagnostics) && this.#known === undefined)
      return noPack(this.#folder, report.diagnostics).exitCode;
    this.#tell(report, Math.round(performance.now() - began));
    return undefined;
  }

  #tell(report: CheckReport, milliseconds: number): void {
    const before = this.#known;
    const now = new Map(report.diagnostics.map((one) => [keyOf(one), one]));
    this.#known = now;
    const fresh =
      before === undefined ? [] : [...now].flatMap(([key, one]) => (before.has(key) ? [] : [one]));
    const gone = [...(before ?? [])].flatMap(([key, one]) => (now.has(key) ? [] : [one]));
    const at = new Date();
    if (this.#format === 'json') {
      const changes = before === undefined ? {} : { new: fresh, gone };
      sayJsonLine({
        at: at.toISOString(),
        milliseconds,
        ...describeReport(this.#folder, report),
        ...changes,
      });
      return;
    }
    const listed = (what: string, ones: readonly Diagnostic[]): readonly string[] =>
      ones.map((one) => `  ${what} ${writeDiagnostic(this.#folder, one).split('\n')[0]}`);
    say(
      [
        isNoPack(report.diagnostics)
          ? `${this.#folder} is not there any more. As soon as it is, it is checked again.`
          : writeReport(this.#folder, report),
        `${at.toTimeString().slice(0, 8)} checked in ${milliseconds} ms${
          before === undefined ? '' : `; since the last check ${fresh.length} new, ${gone.length} gone`
        }`,
        ...listed('new ', fresh),
        ...listed('gone', gone),
        '',
      ].join('\n'),
    );
  }

  /** Watches the folders that are there now: those of the pack, and what is around it, to see it come and go. */
  arm(stir: () => void): void {
    const wanted = new Set(foldersOf(this.#folder).filter(existsSync));
    let around = dirname(resolve(this.#folder));
    while (!existsSync(around) && dirname(around) !== around) around = dirname(around);
    wanted.add(around);
    for (const [path, watcher] of this.#watchers) {
      // A folder that was removed and made again has the same name, and its old watcher sees nothing of it.
      if (wanted.has(path) && inodes.get(watcher) === inodeOf(path)) continue;
      watcher.close();
      this.#watchers.delete(path);
    }
    for (const path of wanted) {
      if (this.#watchers.has(path)) continue;
      try {
        const watcher = watch(path, stir);
        watcher.on('error', stir);
        inodes.set(watcher, inodeOf(path));
        this.#watchers.set(path, watcher);
      } catch {
        // Gone since it was looked for, or too many are watched: it is looked at again in a second.
      }
    }
  }

  disarm(): void {
    for (const watcher of this.#watchers.values()) watcher.close();
  }
}

const inodes = new WeakMap<FSWatcher, number>();
const inodeOf = (path: string): number => statSync(path, { throwIfNoEntry: false })?.ino ?? 0;

const keyOf = ({ code, severity, pointer, message }: Diagnostic): string =>
  JSON.stringify([code, severity, pointer, message]);

const foldersOf = (folder: string): readonly string[] =>
  ['.', 'procedures', 'trials'].map((name) => join(resolve(folder), name));

/** What every file of a pack is known by: its name, its size, when it changed and which file it is. */
function fingerprint(folder: string): string {
  return foldersOf(folder)
    .flatMap((path) => {
      let entries: readonly Dirent[];
      try {
        entries = readdirSync(path, { withFileTypes: true });
      } catch {
        return [`${path} -`];
      }
      return entries
        .filter(({ name }) => /\.ya?ml$/i.test(name))
        .map(({ name }) => {
          const found = statSync(join(path, name), { throwIfNoEntry: false });
          return `${path}/${name} ${found?.size} ${found?.mtimeMs} ${found?.ctimeMs} ${found?.ino}`;
        });
    })
    .sort()
    .join('\n');
}
