// The bundled command as a script. What V8 compiled of it before is taken up, which spares most of a start.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { setFlagsFromString } from 'node:v8';
import { Script } from 'node:vm';

/** How the text of the bundle begins: its own digest in a comment, by which what was compiled of it is known. */
const START = 2;
const DIGEST = 64;

/**
 * How much code a function has run, in bytes, before Node 20 hands it to its optimising compiler. That has nothing between it and
 * the plain one, and left to itself it begins so early that most of a check was compiled for some of the objects that come by,
 * given up at the next one, and compiled again: a third of the time of a check.
 */
const RUN_BEFORE_OPTIMISED = 500_000;

/**
 * The script of the command in a folder, and what it exports. `compiled` is what V8 has made of it in an earlier process of
 * the same Node; where it is of another text or another V8, the text is compiled anew, and nothing else is different.
 */
export function openCommand(folder) {
  // Before the script is there: what was compiled before is taken up only by who has the same settings.
  if (process.versions.node.startsWith('20.'))
    setFlagsFromString(`--interrupt-budget=${RUN_BEFORE_OPTIMISED}`);
  const file = new URL('command.cjs', folder);
  const text = readFileSync(file, 'utf8');
  const cachedData = compiledOf(text, new URL('command.compiled', folder));
  const script = new Script(text, {
    filename: fileURLToPath(file),
    ...(cachedData === undefined ? {} : { cachedData }),
  });
  const module = { exports: {} };
  // A script whose compiled form was taken up imports nothing by itself, so that is done here.
  const importOutside = (name) => import(name);
  const address = new URL('ferrule.js', folder).href;
  script.runInThisContext()(module, module.exports, createRequire(file), importOutside, address);
  return { script, text, isTakenUp: script.cachedDataRejected === false, main: module.exports.main };
}

/** What V8 has made of a text, as it is kept: behind the digest that the text begins with. */
export const keptCompiled = (text, script) =>
  Buffer.concat([Buffer.from(digestIn(text), 'latin1'), script.createCachedData()]);

function compiledOf(text, file) {
  let kept;
  try {
    kept = readFileSync(file);
  } catch {
    return undefined;
  }
  return kept.toString('latin1', 0, DIGEST) === digestIn(text) ? kept.subarray(DIGEST) : undefined;
}

const digestIn = (text) => text.slice(START, START + DIGEST);
