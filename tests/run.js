// `npm test` and `npm run check`: makes the checkout ready, runs the house checks, then every test.
// `--check` runs the house checks only; other arguments are passed on to the test runner.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { prepare, root } from '../packages/cli/prepare.js';

const passedOn = process.argv.slice(2).filter((word) => word !== '--check');
const checksOnly = process.argv.includes('--check');
const script = (path, ...words) => [join(root, 'node_modules', path), ...words];

/** Each house check: its headline and what Node runs. */
const checks = [
  { name: 'types', run: script('typescript/bin/tsc', '-p', '.') },
  { name: 'types of the page', run: script('typescript/bin/tsc', '-p', 'packages/page') },
  { name: 'types of its worker', run: script('typescript/bin/tsc', '-p', 'packages/page/src/worker') },
  { name: 'style and layout', run: script('@biomejs/biome/bin/biome', 'check', '--error-on-warnings') },
  { name: 'dead code', run: script('knip/bin/knip.js', '--no-progress') },
  { name: 'generated files', run: [join(root, 'packages/engine/generate.js'), '--check'] },
  { name: 'generated files of the card', run: [join(root, 'packages/print/generate.js'), '--check'] },
  { name: 'generated files of comparisons', run: [join(root, 'packages/compare/generate.js'), '--check'] },
];
/** In a full run this is part of the tests. */
const houseTests = {
  name: 'boundaries, words, prose',
  run: script('vitest/vitest.mjs', 'run', 'tests/house', '--reporter=dot'),
};

/** Runs Node with these words. Answers with its exit code and, unless it writes to the terminal, its output. */
function node(words, stdio = 'pipe') {
  return new Promise((done) => {
    const child = spawn(process.execPath, words, { cwd: root, stdio: ['ignore', stdio, stdio] });
    const output = [];
    child.stdout?.on('data', (piece) => output.push(piece));
    child.stderr?.on('data', (piece) => output.push(piece));
    child.on('error', (fault) => done({ code: 1, output: fault.message }));
    child.on('close', (code) => done({ code: code ?? 1, output: Buffer.concat(output).toString('utf8') }));
  });
}

async function runChecks(wanted) {
  const tally = { passed: 0, failed: 0 };
  const running = wanted.map(({ run, ...check }) => ({ ...check, result: node(run) }));
  for (const { name, result } of running) {
    const { code, output } = await result;
    tally[code === 0 ? 'passed' : 'failed']++;
    console.log(`check  ${name}: ${code === 0 ? 'ok' : 'FAILED'}`);
    if (code !== 0) console.log(`\n${output.trim()}\n`);
  }
  return tally;
}

/** Counts from vitest's own report. A file that could not be loaded, or a run that failed otherwise, counts as one. */
function countTests(reportFile, code) {
  let report;
  try {
    report = JSON.parse(readFileSync(reportFile, 'utf8'));
  } catch {
    return { passed: 0, failed: 1, skipped: 0 };
  }
  const unloaded = report.testResults.filter(
    (file) => file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
  ).length;
  const failed = report.numFailedTests + unloaded;
  return {
    passed: report.numPassedTests,
    failed: failed === 0 && code !== 0 ? 1 : failed,
    skipped: report.numPendingTests + report.numTodoTests,
  };
}

async function runTests() {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
  const reportFile = join(folder, 'report.json');
  try {
    const words = [
      'run',
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${reportFile}`,
      ...passedOn,
    ];
    const { code } = await node(script('vitest/vitest.mjs', ...words), 'inherit');
    return countTests(reportFile, code);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

await prepare();
const house =
  passedOn.length > 0
    ? { passed: 0, failed: 0 }
    : await runChecks(checksOnly ? [...checks, houseTests] : checks);
let tests = { passed: 0, failed: 0, skipped: 0 };
if (!checksOnly) {
  console.log('check  tests, with boundaries, words and prose:');
  tests = await runTests();
}
if (tests.skipped > 0) console.log(`${tests.skipped} skipped`);
const failed = house.failed + tests.failed;
console.log(`${house.passed + tests.passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
