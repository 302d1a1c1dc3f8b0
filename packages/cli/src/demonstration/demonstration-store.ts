import { existsSync, renameSync } from 'node:fs';
import { homedir, tmpdir, userInfo } from 'node:os';
import { isAbsolute, join } from 'node:path';
import { listJobs, makeStore } from '@ferrule/records';
import { writeTime } from '../job/occasion.ts';

/** What says where people keep their data on a machine. */
export interface Surroundings {
  readonly platform: NodeJS.Platform;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly home: string;
}

/**
 * The folder for the data of this person: on Linux as the XDG Base Directory Specification 0.8 has it, by which a path that is
 * not absolute counts as none; on macOS and Windows where their programs keep theirs.
 */
export function dataFolder({ platform, env, home }: Surroundings): string {
  const named = (name: string, otherwise: string): string => {
    const folder = env[name];
    return folder !== undefined && isAbsolute(folder) ? folder : join(home, otherwise);
  };
  if (platform === 'win32') return named('LOCALAPPDATA', 'AppData/Local');
  if (platform === 'darwin') return join(home, 'Library/Application Support');
  return named('XDG_DATA_HOME', '.local/share');
}

/** Where the jobs of the demonstration are kept; if nothing can be kept there, a folder that lasts until this machine is tidied. */
export function demonstrationStore(): { readonly folder: string } | { readonly wrong: string } {
  const { platform, env } = process;
  const own = join(dataFolder({ platform, env, home: homedir() }), 'ferrule', 'demonstration');
  if (makeStore(own) === undefined) return { folder: own };
  const passing = join(tmpdir(), `ferrule-demonstration-${userInfo().username}`);
  const wrong = makeStore(passing);
  return wrong === undefined ? { folder: passing } : { wrong };
}

/** Moves a store out of the way, so that the next one is empty. Nothing in it is lost. Answers where it is then. */
export function setAside(store: string, now: Date): string | undefined {
  if (!existsSync(store) || listJobs(store).length === 0) return undefined;
  const aside = `${store}-until-${writeTime(now).slice(0, 19).replaceAll(':', '')}`;
  renameSync(store, aside);
  return aside;
}
