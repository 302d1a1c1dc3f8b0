import { lint, measureCheck } from './check.ts';
import { measureColdStart } from './cold-start.ts';
import { compareParts, measureCompare, patchOf } from './compare.ts';
import { measureGrowth } from './growth.ts';
import { measureJob } from './job.ts';
import { measureLoading } from './loading.ts';
import { measurePage } from './page.ts';
import { measurePrecondition } from './precondition.ts';
import { probe } from './probe.ts';
import { measureProof } from './proof.ts';
import { measureRecords } from './records.ts';
import { measureRejudge } from './rejudge.ts';
import { type Row, tableOf } from './row.ts';
import { measureServer } from './server.ts';
import { measureSize } from './size.ts';
import { measureUncertainty } from './uncertainty.ts';
import { measureVerdict } from './verdict.ts';

const measures: Readonly<Record<string, () => Promise<readonly Row[]>>> = {
  loading: measureLoading,
  verdict: measureVerdict,
  uncertainty: measureUncertainty,
  precondition: measurePrecondition,
  job: measureJob,
  proof: measureProof,
  check: measureCheck,
  compare: measureCompare,
  rejudge: measureRejudge,
  records: measureRecords,
  server: measureServer,
  growth: measureGrowth,
  cold: measureColdStart,
  size: measureSize,
  page: measurePage,
};

const [asked, pack = ''] = process.argv.slice(2);
const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !Object.hasOwn(measures, name));
// A measure from a cold start calls this bundle again, for one piece of work.
if (asked === '--probe') process.stdout.write(JSON.stringify(await probe(pack)));
else if (asked === '--lint') lint(pack);
else if (asked === '--patch') patchOf(pack, process.argv[4] ?? '');
else if (asked === '--compare-parts') process.stdout.write(JSON.stringify(await compareParts()));
else if (unknown.length > 0) {
  process.stderr.write(
    `There is no measure ${unknown.join(', ')}. There are: ${Object.keys(measures).join(', ')}.\n`,
  );
  process.exitCode = 2;
} else {
  const rows: Row[] = [];
  for (const [name, measure] of Object.entries(measures)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    if (process.stderr.isTTY) process.stderr.write(`measuring ${name}\n`);
    rows.push(...(await measure()));
  }
  process.stdout.write(`${tableOf(rows)}\n`);
}
