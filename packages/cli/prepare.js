// What every entry of a checkout does first: installs from the lock file and builds, each only when needed.
// Only Node built-ins, because nothing is installed yet when this runs.
import './node-version.js';
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { builtFrom, root, sourcesNow } from './build-stamp.js';

export { root };

const lockFile = join(root, 'package-lock.json');
const installStamp = join(root, 'node_modules', '.ferrule-lock');

const sha256 = (content) => createHash('sha256').update(content).digest('hex');
const textOf = (file) => (existsSync(file) ? readFileSync(file, 'utf8') : '');
const say = (line) => process.stderr.write(`ferrule: ${line}\n`);

/** Ends the process with one line: what failed and what to do. */
function stop(line) {
  say(line);
  process.exit(2);
}

function isLockFile(text) {
  try {
    return typeof JSON.parse(text).packages === 'object';
  } catch (_) {
    return false;
  }
}

/** Whether npm's own note of what it installed agrees with the lock file, as after a plain `npm install`. */
function isInstalledAs(lockText) {
  const note = textOf(join(root, 'node_modules', '.package-lock.json'));
  if (note === '') return false;
  try {
    const installed = JSON.parse(note).packages;
    return Object.entries(JSON.parse(lockText).packages).every(([path, wanted]) => {
      if (!path.startsWith('node_modules/')) return true;
      const found = installed[path];
      if (found === undefined) return wanted.optional === true;
      return found.version === wanted.version && found.integrity === wanted.integrity;
    });
  } catch (_) {
    return false;
  }
}

/** Network faults as npm and Node name them. */
const networkFault =
  /E(?:NOTFOUND|AI_AGAIN|CONN\w+|TIMEDOUT|HOSTUNREACH|NETUNREACH)|ERR_SOCKET_TIMEOUT|network/;

function explain(output) {
  const lines = output.split('\n').map((line) => line.replace(/^npm (?:error|ERR!) ?/, '').trim());
  const network = output.match(networkFault);
  if (network !== null)
    return `npm ci could not reach the package registry (${network[0]}). Connect this computer to the network and start again.`;
  if (/ENOSPC/.test(output)) return 'npm ci ran out of disk space. Free some and start again.';
  if (/EACCES|EPERM|EROFS/.test(output))
    return `npm ci may not write to ${join(root, 'node_modules')}. Make the folder writable and start again.`;
  const said = lines.find((line) => line !== '' && !/^(?:code|errno|syscall) /.test(line));
  return `npm ci failed: ${said === undefined ? 'it did not say why' : said}. Put that right and start again.`;
}

function install() {
  const lockText = textOf(lockFile);
  const digest = sha256(lockText);
  if (textOf(installStamp) === digest) return;
  if (!isLockFile(lockText)) {
    const fault = lockText === '' ? 'missing' : 'damaged';
    stop(`package-lock.json is ${fault}. Restore it (git checkout package-lock.json) and start again.`);
  }
  if (!isInstalledAs(lockText)) {
    say('installing the packages of package-lock.json (npm ci), which can take some minutes');
    const npm = process.env.npm_execpath;
    const isScript = npm !== undefined && /npm-cli\.[cm]?js$/.test(npm);
    const flags = [
      'ci',
      '--include=dev',
      '--include=optional',
      '--no-audit',
      '--no-fund',
      '--loglevel=error',
    ];
    const run = spawnSync(isScript ? process.execPath : 'npm', isScript ? [npm].concat(flags) : flags, {
      cwd: root,
      encoding: 'utf8',
      shell: !isScript && process.platform === 'win32',
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    if (run.error !== undefined && run.error.code === 'ENOENT')
      stop('npm was not found. It comes with Node: install both (https://nodejs.org) and start again.');
    if (run.error !== undefined) stop(`npm ci could not be run (${run.error.message}).`);
    if (run.status !== 0) stop(explain(`${run.stderr}\n${run.stdout}`));
  }
  try {
    writeFileSync(installStamp, digest);
  } catch (_) {
    // A folder that cannot be written to is only compared again next time.
  }
}

/**
 * Makes a checkout ready: `npm ci` where node_modules is missing or is not what the lock file says, then a
 * build where a source file has changed since the last one. Ends the process with one line if that fails.
 */
export async function prepare() {
  install();
  if (builtFrom() === sourcesNow() && existsSync(join(root, 'packages', 'cli', 'dist', 'ferrule.js'))) return;
  say('building');
  const { build } = await import('./build.js');
  try {
    await build();
  } catch (fault) {
    if (!Array.isArray(fault.errors)) throw fault;
    stop(
      `the build failed with ${fault.errors.length} error${fault.errors.length === 1 ? '' : 's'}, shown above.`,
    );
  }
}
