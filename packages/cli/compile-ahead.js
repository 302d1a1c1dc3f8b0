// Runs some verbs and writes down what V8 has compiled for them, so that the command starts sooner. Called by the build, in a
// process of its own: what V8 compiled holds for this very version of Node, and is left aside by every other one.
import { renameSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { keptCompiled, openCommand } from './command-script.js';

const dist = new URL('dist/', import.meta.url);
const specs = fileURLToPath(new URL('../../specs', import.meta.url));

/** What most calls have in common: reading, checking, comparing, drawing. Nothing of it is written anywhere. */
const calls = [
  ['compare', '--without-behaviour', `${specs}/marram-unit-pumps/1.0.0`, `${specs}/marram-unit-pumps/1.1.0`],
  ['check', `${specs}/valve-clearance/1.0.0`],
  ['crank', `${specs}/marram-unit-pumps/1.1.0`, '--variant', 'marram-four'],
];

const { script, text, main } = openCommand(dist);
for (const words of calls) await main([process.argv[0], process.argv[1], ...words]);
const file = fileURLToPath(new URL('command.compiled', dist));
writeFileSync(`${file}.${process.pid}`, keptCompiled(text, script));
renameSync(`${file}.${process.pid}`, file);
// Packs that were examined may have had faults, which is no concern of a build.
process.exitCode = 0;
