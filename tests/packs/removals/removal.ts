import { examine, jobsOf, runTrial } from '@ferrule/check';
import {
  type Diagnostic,
  type Pack,
  type Plan,
  pointerTo,
  Report,
  resolve,
  type Trial,
} from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { validate } from '@ferrule/engine/validate';

export type Json = string | readonly Json[] | { readonly [key: string]: Json };

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

/** A pack with nothing taken out: what every removal is held against. */
export interface Whole {
  readonly variants: readonly string[];
  /**
   * What is said of it all the same. Of a pack that takes from libraries these are names in them that it does not use, which
   * check leaves out by their files.
   */
  readonly said: ReadonlySet<string>;
  /** Its plans as JSON: one that a removal leaves as it is need not be proved again. */
  readonly plans: ReadonlySet<string>;
  /** The trials that have shown something, the last one first: what shows one removal often shows the next. */
  readonly telling: string[];
}

export function wholeOf(document: Json, variants: readonly string[]): Whole {
  const { pack } = validate(withoutTrials(document));
  if (pack === undefined) return { variants, said: new Set(), plans: new Set(), telling: [] };
  const { plans, report } = examined(pack, variants);
  const said = report.diagnostics.filter((one) => one.severity === 'warning').map(inWords);
  return { variants, said: new Set(said), plans: new Set(plans.map(asText)), telling: [] };
}

const asText = (plan: Plan): string => JSON.stringify(plan);

/** Without its trials a pack is looked through in a fifth of the time: they speak of every variant. */
function withoutTrials(document: Json): Json {
  const { trials: _, ...rest } = document as { readonly [key: string]: Json };
  return rest;
}

function examined(pack: Pack, variants: readonly string[]) {
  const report = new Report();
  const plans = jobsOf(pack).flatMap((procedure) =>
    variants
      .filter((variant) => pack.procedures[procedure]?.variants?.includes(variant) ?? true)
      .flatMap((variant) => resolve(pack, { procedure, variant }, report).plan ?? []),
  );
  if (report.hasErrors) return { plans, report };
  examine({ pack, plans, report }, 'written');
  examine({ pack, plans, report }, 'resolved');
  return { plans, report };
}

/**
 * What first shows that something is missing: a diagnostic that is not said of the whole, the proof, or a trial; undefined
 * when nothing does. What takes least time is asked first.
 */
export function caughtBy(document: Json, bundle: string, whole: Whole): string | undefined {
  const { pack: alone, diagnostics } = validate(withoutTrials(document));
  if (alone === undefined) return diagnostics[0]?.code;
  const { plans, report } = examined(alone, whole.variants);
  const found = report.diagnostics.find((one) => one.severity !== 'note' && !whole.said.has(inWords(one)));
  if (found !== undefined) return found.code;
  for (const plan of plans.filter((one) => !whole.plans.has(asText(one)))) {
    const { refutations, reachesEnd } = explore(plan);
    const [refutation] = refutations;
    if (refutation !== undefined) return `proof: ${refutation.property}`;
    if (!reachesEnd) return 'proof: no end';
  }
  const { pack } = validate(document);
  if (pack === undefined) throw new Error('the trials alone made it invalid');
  for (const [name, trial] of trialsOf(pack, whole.telling)) {
    const plan = plans.find(
      (one) => one.procedure.id === trial.procedure && one.variant.id === trial.variant,
    );
    if (plan === undefined) continue;
    const { failures } = runTrial(pack, name, trial, plan, bundle);
    if (failures.length === 0) continue;
    const before = whole.telling.indexOf(name);
    if (before >= 0) whole.telling.splice(before, 1);
    whole.telling.unshift(name);
    return `trial: ${name}`;
  }
  return undefined;
}

/** The trials of a pack: those that were telling before, then the quick ones. */
function trialsOf(pack: Pack, telling: readonly string[]): readonly (readonly [string, Trial])[] {
  const rank = ([name, { placed }]: readonly [string, Trial]): number =>
    telling.includes(name) ? telling.indexOf(name) - telling.length : placed === undefined ? 1 : 0;
  return Object.entries(pack.trials ?? {}).sort((a, b) => rank(a) - rank(b));
}
