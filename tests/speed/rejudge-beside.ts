import { readdirSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { Engine } from 'json-rules-engine';
import { inventedReadings } from '../compare/invented-readings.ts';

type Beside = 'parse' | 'json-logic-js' | 'json-rules-engine';

interface Share {
  readonly beside: Beside;
  readonly store: string;
  readonly names: readonly string[];
}

const isShare = (data: unknown): data is Share =>
  typeof data === 'object' && data !== null && 'beside' in data;

/**
 * Reads every job of a store on all cores and parses each line; with a library of rules, judges each reading that counts by
 * the limits of the newer revision, on doubles. How many conform, by the name of the reading.
 */
async function beside(what: string, store: string): Promise<Readonly<Record<string, number>>> {
  const names = readdirSync(store).filter((name) => name.endsWith('.jsonl'));
  const threads = availableParallelism();
  const shares = await Promise.all(
    Array.from({ length: threads }, (_, thread) => {
      const mine = names.filter((__, place) => place % threads === thread);
      const worker = new Worker(process.argv[1] ?? '', { workerData: { beside: what, store, names: mine } });
      return new Promise<Readonly<Record<string, number>>>((resolve, reject) => {
        worker.on('error', reject);
        worker.on('message', resolve);
      });
    }),
  );
  const sum: Record<string, number> = {};
  for (const share of shares)
    for (const [name, count] of Object.entries(share)) sum[name] = (sum[name] ?? 0) + count;
  return sum;
}

type Decide = (value: number) => boolean | Promise<boolean>;

const rules: Readonly<Record<Beside, ReadonlyMap<string, Decide> | undefined>> = {
  parse: undefined,
  'json-logic-js': rulesBy((low, high) => {
    const rule: RulesLogic = {
      and: [
        ...(low === undefined ? [] : [{ '>=': [{ var: 'value' }, low] as [{ var: string }, number] }]),
        ...(high === undefined ? [] : [{ '<=': [{ var: 'value' }, high] as [{ var: string }, number] }]),
      ],
    };
    return (value) => jsonLogic.apply(rule, { value }) === true;
  }),
  'json-rules-engine': rulesBy((low, high) => {
    const engine = new Engine([
      {
        event: { type: 'conforms' },
        conditions: {
          all: [
            ...(low === undefined ? [] : [{ fact: 'value', operator: 'greaterThanInclusive', value: low }]),
            ...(high === undefined ? [] : [{ fact: 'value', operator: 'lessThanInclusive', value: high }]),
          ],
        },
      },
    ]);
    return async (value) => (await engine.run({ value })).events.length > 0;
  }),
};

function rulesBy(
  rule: (low: number | undefined, high: number | undefined) => Decide,
): ReadonlyMap<string, Decide> {
  const whole = (limit: number | undefined): number | undefined =>
    limit === undefined ? undefined : limit / 1000;
  return new Map(
    inventedReadings.flatMap(({ name, now }) =>
      now === undefined ? [] : [[name, rule(whole(now.low), whole(now.high))] as const],
    ),
  );
}

/** What a thread does with its share of the jobs; nothing where it was started for something else. */
async function besideInThread(): Promise<void> {
  const share: unknown = workerData;
  if (!isShare(share)) return;
  const conforming: Record<string, number> = {};
  const decide = rules[share.beside];
  for (const name of share.names) {
    const readings = new Map<string, number>();
    for (const line of readFileSync(join(share.store, name), 'utf8').split('\n')) {
      if (line === '') continue;
      const { facts = [] }: { readonly facts?: readonly { readonly fact: Told }[] } = JSON.parse(line);
      if (decide === undefined) continue;
      for (const { fact } of facts) {
        if (fact.kind === 'reading') readings.set(fact.entry ?? '', Number(fact.digits));
        else if (fact.kind === 'struck') readings.delete(fact.entry ?? '');
      }
    }
    for (const [entry, value] of readings) {
      const of = entry.slice(0, entry.indexOf('@'));
      if ((await decide?.get(of)?.(value)) === true) conforming[of] = (conforming[of] ?? 0) + 1;
    }
  }
  parentPort?.postMessage(conforming);
}

interface Told {
  readonly kind: string;
  readonly entry?: string;
  readonly digits?: string;
}

const [, , what = '', store = ''] = process.argv;
if (isMainThread) process.stdout.write(JSON.stringify(await beside(what, store)));
else await besideInThread();
