import { examine, jobsOf, runTrial } from '@ferrule/check';
import { type Diagnostic, type Pack, pointerTo, Report, resolve, type Trial } from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { validate } from '@ferrule/engine/validate';

type Json = string | readonly Json[] | { readonly [key: string]: Json };

/** One thing taken out of a pack: where it stood, and what it was. */
export interface Removal {
  readonly kind: 'change' | 'interlock' | 'reading' | 'limit' | 'remedy';
  readonly pointer: string;
}

/** Everything in a pack of the five kinds that could be left out by mistake. */
export function removalsOf(document: Json): readonly Removal[] {
  const found: Removal[] = [];
  const visit = (value: Json, pointer: string): void => {
    if (typeof value === 'string') return;
    if (Array.isArray(value)) {
      value.forEach((item, index) => {
        visit(item, pointerTo(pointer, index));
      });
      return;
    }
    for (const [key, item] of Object.entries(value)) {
      const at = pointerTo(pointer, key);
      if (key === 'changes' && typeof item === 'object') {
        for (const state of Object.keys(item)) found.push({ kind: 'change', pointer: pointerTo(at, state) });
      } else if (['if-nonconforming', 'if-inconclusive', 'if-struck'].includes(key)) {
        found.push({ kind: 'remedy', pointer: at });
      } else if (key === 'judge' || key === 'tolerances') {
        if (key === 'judge') found.push({ kind: 'limit', pointer: at });
        else
          for (const name of Object.keys(item)) found.push({ kind: 'limit', pointer: pointerTo(at, name) });
      } else if (key === 'read' || key === 'observe' || key === 'identify') {
        found.push({ kind: 'reading', pointer: at });
      } else if (key === 'readings' || key === 'observations') {
        for (const name of Object.keys(item)) found.push({ kind: 'reading', pointer: pointerTo(at, name) });
      } else if (key === 'interlocks' && Array.isArray(item)) {
        for (const index of item.keys()) found.push({ kind: 'interlock', pointer: pointerTo(at, index) });
      }
      visit(item, at);
    }
  };
  const { trials: _trials, ...rest } = document as { readonly [key: string]: Json };
  visit(rest, '');
  return found;
}

/** A document without the value that a pointer leads to. A map that is left empty goes too. */
export function without(document: Json, pointer: string): Json {
  const copy = structuredClone(document) as Record<string, unknown>;
  const keys = pointer
    .split('/')
    .slice(1)
    .map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'));
  const around: (Record<string, unknown> | unknown[])[] = [copy];
  for (const key of keys.slice(0, -1)) {
    around.push((around.at(-1) as Record<string, unknown>)[key] as Record<string, unknown>);
  }
  const last = around.at(-1);
  const key = keys.at(-1) ?? '';
  if (Array.isArray(last)) last.splice(Number(key), 1);
  else if (last !== undefined) delete last[key];
  for (let depth = around.length - 1; depth > 0; depth--) {
    const inner = around[depth];
    const outer = around[depth - 1];
    const name = keys[depth - 1] ?? '';
    if (inner === undefined || outer === undefined || Array.isArray(outer) || Array.isArray(inner)) break;
    if (Object.keys(inner).length === 0) delete outer[name];
  }
  return copy as Json;
}

const inWords = ({ code, message }: Diagnostic): string => `${code} ${message}`;

/**
 * What is said of a whole document. Of a pack that takes from libraries these are names in them that it does not use, which
 * check leaves out by their files.
 */
export function saidOf(document: Json, variants: readonly string[]): ReadonlySet<string> {
  const { pack } = validate(document);
  if (pack === undefined) return new Set();
  const { report } = examined(pack, variants);
  return new Set(report.diagnostics.filter((one) => one.severity === 'warning').map(inWords));
}

function examined(pack: Pack, variants: readonly string[]) {
  const report = new Report();
  const plans = jobsOf(pack).flatMap((procedure) =>
    variants.flatMap((variant) => resolve(pack, { procedure, variant }, report).plan ?? []),
  );
  if (report.hasErrors) return { plans, report };
  examine({ pack, plans, report }, 'written');
  examine({ pack, plans, report }, 'resolved');
  return { plans, report };
}

/**
 * What first shows that something is missing: a diagnostic that is not said of the whole, the proof, or a trial; undefined
 * when nothing does.
 */
export function caughtBy(
  document: Json,
  bundle: string,
  variants: readonly string[],
  said: ReadonlySet<string> = new Set(),
): string | undefined {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) return diagnostics[0]?.code;
  const { plans, report } = examined(pack, variants);
  const found = report.diagnostics.find((one) => one.severity !== 'note' && !said.has(inWords(one)));
  if (found !== undefined) return found.code;
  for (const plan of plans) {
    const { refutations, reachesEnd } = explore(plan);
    const [refutation] = refutations;
    if (refutation !== undefined) return `proof: ${refutation.property}`;
    if (!reachesEnd) return 'proof: no end';
  }
  for (const [name, trial] of trialsOf(pack)) {
    const plan = plans.find(
      (one) => one.procedure.id === trial.procedure && one.variant.id === trial.variant,
    );
    if (plan === undefined) continue;
    const { failures } = runTrial(pack, name, trial, plan, bundle);
    if (failures.length > 0) return `trial: ${name}`;
  }
  return undefined;
}

/** The trials of a pack, the quick ones first. */
function trialsOf(pack: Pack): readonly (readonly [string, Trial])[] {
  const all = Object.entries(pack.trials ?? {});
  return [
    ...all.filter(([, trial]) => trial.placed !== undefined),
    ...all.filter(([, trial]) => trial.placed === undefined),
  ];
}
