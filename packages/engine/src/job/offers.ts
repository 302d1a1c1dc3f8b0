import { evaluate, writeExplanation, writeLack } from '../logic/index.ts';
import { ENTRY, type Plan, type PlanHazard, type PlanNode, type StepNode } from '../model/plan.ts';
import { exampleOf } from '../model/shape.ts';
import { writeQuantity } from '../quantity/index.ts';
import { openConditions, openDecisions } from './advance.ts';
import { failing, isLive, PHASE, progressOf } from './control.ts';
import { guardRefusal } from './decide-act.ts';
import { actFaults } from './effects.ts';
import type { Setting, WrittenVerdict } from './fact.ts';
import { findEntry } from './find.ts';
import type { Job } from './job.ts';
import { lacking, remedyFor } from './lacking.ts';
import type { Refusal } from './refusal.ts';
import {
  type Indication,
  isUnderWay,
  nextRepeat,
  plausibleText,
  type ReadingEntry,
  repeated,
  writeSpan,
} from './repeats.ts';
import { choiceOf } from './select-from-stock.ts';
import { setWrench } from './settings.ts';
import { mayBeLeftOut, waysOn } from './signals.ts';
import { reader } from './value.ts';
import { crossedLimits } from './verdict-on.ts';
import { saysLimits } from './write-verdict.ts';

/** What a job lets its people do now, what blocks the rest and why. Plain data. */
export interface Offers {
  readonly seq: number;
  readonly standing: 'at-step' | 'on-hold' | 'parked' | 'ready-to-close' | 'closed';
  readonly step?: OfferedStep;
  readonly offers: readonly Offer[];
  readonly blocked: readonly Refusal[];
  readonly hold?: {
    readonly id: string;
    readonly text: string;
    readonly safety: boolean;
    readonly step: string;
  };
  /** Steps that are done, of all steps of the plan; a rework lowers it. */
  readonly progress: { readonly done: number; readonly of: number };
  /** Where the crank stands. */
  readonly crank: string;
}

export interface OfferedStep {
  readonly path: string;
  readonly title: string;
  readonly says?: string;
  readonly bore?: number;
  readonly hazards: readonly PlanHazard[];
  readonly act?: StepNode['act'];
  readonly uses: readonly string[];
}

export type Offer =
  | { readonly offer: 'acknowledge'; readonly step: string }
  | {
      readonly offer: 'done';
      readonly step: string;
      readonly together?: string;
      readonly photograph?: true;
      readonly wrench?: string;
      /** What the wrench is set to, by the one that the job has. */
      readonly settings?: readonly Setting[];
      /** The fasteners in the order in which each stage goes over them. */
      readonly pattern?: readonly number[];
      readonly wait?: string;
      /** What would be chosen from stock as things stand. */
      readonly choice?: WrittenVerdict;
    }
  | { readonly offer: 'omit'; readonly step: string; readonly role: string }
  | {
      readonly offer: 'record';
      readonly entry: string;
      readonly title: string;
      readonly of: 'reading' | 'observation' | 'field' | 'identity';
      readonly unit?: string;
      readonly plausible?: readonly [string, string];
      readonly instrument?: string;
      readonly answers?: readonly { readonly id: string; readonly text: string }[];
      readonly example?: string;
      readonly limits?: string;
      /** What has to hold during the whole of the reading; it is confirmed with it. */
      readonly throughout?: readonly string[];
      readonly repeats?: OfferedRepeats;
      readonly carry?: OfferedCarry;
    }
  | { readonly offer: 'witness'; readonly step: string; readonly role: string }
  | {
      readonly offer: 'release';
      readonly by: 'concession' | 'rework' | 'witness';
      readonly role?: string;
      readonly goesTo?: string;
    }
  | { readonly offer: 'park'; readonly instructions: string }
  | { readonly offer: 'resume'; readonly confirm: readonly { readonly id: string; readonly text: string }[] }
  | { readonly offer: 'close' };

/** From where a value may be taken over instead of being measured; `carriedFrom` says what a job would give. */
export interface OfferedCarry {
  readonly pack: string;
  readonly procedure: string;
  readonly value: string;
  readonly validFor: string;
  /** The title of the field with the serial number of the engine. */
  readonly engine: string;
}

/** A reading that is taken several times: which one is asked for, and what there is. */
export interface OfferedRepeats {
  readonly next: number;
  /** How many in all, as things stand; more are asked for where they do not agree. */
  readonly of: number;
  readonly take: 'mean' | 'lowest' | 'highest';
  readonly agreeWithin?: string;
  readonly taken: readonly { readonly repeat: number; readonly fact: number; readonly value: string }[];
  /** Highest less lowest, from two on, and whether it is wider than it may be. */
  readonly spread?: string;
  readonly isWide: boolean;
  /** The repeat that lies furthest from the mean. */
  readonly worst?: number;
}

/** What can be done now, what blocks the rest and why. A note, a strike and closing as unfinished are always open. */
export function offers(plan: Plan, job: Job): Offers {
  const { control } = job;
  const node = plan.nodes[control.at];
  const base = {
    seq: job.seq,
    progress: progress(plan, job),
    crank: crankText(plan, job),
    ...(node === undefined ? {} : { step: asAsked(describeStep(plan, node)) }),
  };
  if (control.closed !== undefined) return { ...base, standing: 'closed', offers: [], blocked: [] };
  if (control.parked) {
    const confirm = plan.parking?.onResuming ?? [];
    return { ...base, standing: 'parked', offers: [{ offer: 'resume', confirm }], blocked: [] };
  }
  const hold = plan.holds[control.hold];
  if (hold !== undefined) {
    const { id, text, safety } = hold;
    const held = { id, text, safety, step: plan.nodes[hold.node]?.path ?? node?.path ?? '' };
    return { ...base, standing: 'on-hold', hold: held, offers: releaseOffers(plan, job), blocked: [] };
  }
  const parking = plan.parking !== undefined && failing([plan.parking.guard], control.bytes).length === 0;
  const aside: readonly Offer[] = parking
    ? [{ offer: 'park', instructions: plan.parking?.instructions ?? '' }]
    : [];
  if (node === undefined) {
    const faults = failing(plan.ends, control.bytes);
    const close: readonly Offer[] = faults.length === 0 ? [{ offer: 'close' }] : [];
    return {
      ...base,
      standing: 'ready-to-close',
      offers: [...close, ...aside],
      blocked: faults.map(guardRefusal),
    };
  }
  const { can, blocked } = atNode(plan, job, node);
  return { ...base, standing: 'at-step', offers: [...can, ...aside], blocked };
}

function atNode(
  plan: Plan,
  job: Job,
  node: PlanNode,
): { can: readonly Offer[]; blocked: readonly Refusal[] } {
  const phase = progressOf(plan, job.control, node.index);
  if (phase === PHASE.deciding) return { can: [], blocked: undecided(plan, job, node) };
  if (node.node !== 'step') return { can: [], blocked: [] };
  const omit: readonly Offer[] =
    node.notApplicable !== undefined && mayBeLeftOut(plan, job.control, node) && !isUnderWay(job)
      ? [{ offer: 'omit', step: node.path, role: node.notApplicable }]
      : [];
  switch (phase) {
    case PHASE.hazards:
      return { can: [{ offer: 'acknowledge', step: node.path }, ...omit], blocked: [] };
    case PHASE.act: {
      const faults = actFaults(node, job.control.bytes);
      if (faults.length > 0) return { can: omit, blocked: faults.map(guardRefusal) };
      const { can, blocked } = doneOffer(plan, job, node);
      return { can: [can, ...omit], blocked };
    }
    case PHASE.entries: {
      const { can, blocked } = entryOffers(plan, job, node);
      return { can: node.act === undefined ? [...can, ...omit] : can, blocked };
    }
    case PHASE.judge:
      return { can: [], blocked: unjudged(plan, job, node) };
    case PHASE.witness:
      return { can: [{ offer: 'witness', step: node.path, role: node.witness ?? '' }], blocked: [] };
    default:
      return { can: [], blocked: [] };
  }
}

/** The act that is due; what speaks against the wrench stands beside it, since another one can be named. */
function doneOffer(
  plan: Plan,
  job: Job,
  node: StepNode,
): { readonly can: Offer; readonly blocked: readonly Refusal[] } {
  const { act, check } = node;
  const selection = check?.check === 'stock' ? plan.selections[check.selection] : undefined;
  const choice = selection && choiceOf(plan, job, selection);
  const tighten = act?.act === 'tighten' ? act : undefined;
  // Whether it fits is looked at when it is used.
  const wrench = tighten === undefined ? undefined : setWrench(plan, job, tighten, undefined);
  const refusal = wrench !== undefined && 'refusal' in wrench ? wrench.refusal : undefined;
  const settings = wrench === undefined || 'refusal' in wrench ? [] : wrench.settings;
  const can: Offer = {
    offer: 'done',
    step: node.path,
    ...(node.together === undefined ? {} : { together: node.together }),
    ...(act?.act === 'photograph' ? { photograph: true } : {}),
    ...(tighten?.wrench === undefined ? {} : { wrench: tighten.wrench }),
    ...(settings.length === 0 ? {} : { settings }),
    ...(tighten?.pattern === undefined ? {} : { pattern: tighten.pattern }),
    ...(act?.act === 'wait' ? { wait: writeQuantity(act.time) } : {}),
    ...(choice === undefined || 'missing' in choice ? {} : { choice }),
  };
  return { can, blocked: refusal === undefined ? [] : [refusal] };
}

function entryOffers(
  plan: Plan,
  job: Job,
  node: StepNode,
): { can: readonly Offer[]; blocked: readonly Refusal[] } {
  const can: Offer[] = [];
  const blocked: Refusal[] = [];
  const tolerance = node.check?.check === 'tolerance' ? plan.tolerances[node.check.tolerance] : undefined;
  for (const index of node.entries) {
    const entry = plan.entries[index];
    if (entry === undefined || isLive(entry, job.control.bytes)) continue;
    const faults = failing(entry.guards, job.control.bytes);
    if (faults.length > 0) {
      blocked.push(...faults.map((fault) => ({ ...guardRefusal(fault), about: entry.name })));
      continue;
    }
    const base = { offer: 'record', entry: entry.name, title: entry.title, of: entry.entry } as const;
    switch (entry.entry) {
      case 'reading':
        can.push({
          ...base,
          unit: entry.unit.symbol,
          plausible: plausibleText(plan, entry),
          ...(entry.instrument === undefined ? {} : { instrument: entry.instrument }),
          ...(tolerance?.entries.includes(index) ? { limits: tolerance.says } : {}),
          ...(entry.throughout === undefined ? {} : { throughout: entry.throughout }),
          ...offeredRepeats(entry, job.underWay[index] ?? []),
          ...offeredCarry(plan, job, index, entry),
        });
        break;
      case 'observation':
        can.push({ ...base, answers: entry.answers.map(({ id, text }) => ({ id, text })) });
        break;
      case 'field':
      case 'identity':
        can.push({ ...base, ...(entry.shape === undefined ? {} : { example: exampleOf(entry.shape) }) });
        break;
    }
  }
  return { can, blocked };
}

function offeredCarry(
  plan: Plan,
  job: Job,
  index: number,
  { carry }: ReadingEntry,
): { readonly carry?: OfferedCarry } {
  if (carry === undefined || (job.underWay[index]?.length ?? 0) > 0) return {};
  const { pack, procedure, value, validFor, field } = carry;
  const engine = plan.entries[findEntry(plan, field) ?? -1]?.title ?? field;
  return { carry: { pack, procedure, value, validFor: writeQuantity(validFor), engine } };
}

function offeredRepeats(
  entry: ReadingEntry,
  taken: readonly Indication[],
): { readonly repeats?: OfferedRepeats } {
  const { repeats } = entry;
  if (repeats === undefined) return {};
  const { times, take, agreeWithin } = repeats;
  const together = repeated(entry, taken);
  const like = taken[0]?.quantity;
  return {
    repeats: {
      next: nextRepeat(taken),
      of: together?.isComplete === false ? together.of : Math.max(times, taken.length + 1),
      take,
      ...(agreeWithin === undefined ? {} : { agreeWithin: writeQuantity(agreeWithin) }),
      taken: taken.map(({ repeat, seq, quantity }) => ({
        repeat,
        fact: seq,
        value: writeQuantity(quantity),
      })),
      ...(together === undefined || like === undefined || taken.length < 2
        ? {}
        : { spread: writeSpan(together.spread, like), worst: together.worst }),
      isWide: together?.isWide === true,
    },
  };
}

function unjudged(plan: Plan, job: Job, node: StepNode): readonly Refusal[] {
  if (node.check?.check === 'stock') {
    const selection = plan.selections[node.check.selection];
    const choice = selection && choiceOf(plan, job, selection);
    return choice === undefined || !('missing' in choice)
      ? []
      : choice.missing.map((name) => ({
          code: 'requirement',
          message: `Nothing can be chosen: ${name} is not recorded, or no longer counts.`,
          remedy: `Take ${name} again.`,
          about: name,
        }));
  }
  if (node.check?.check !== 'tolerance') return [];
  const tolerance = plan.tolerances[node.check.tolerance];
  if (tolerance === undefined) return [];
  const crossed = crossedLimits(tolerance, reader(plan, job));
  if (crossed !== undefined) {
    const { limits, names } = crossed;
    return [
      {
        code: 'requirement',
        message: `${tolerance.title} cannot be judged: its limits came out as ${saysLimits(limits, tolerance)}, and no value lies between them.`,
        remedy: `Strike ${names.join(' or ')}, and take it again.`,
        about: names[0] ?? tolerance.of,
      },
    ];
  }
  return lacking(tolerance, reader(plan, job)).map((lack) => ({
    code: 'requirement',
    message: `${tolerance.title} cannot be judged: ${writeLack(lack)}${'name' in lack ? ', or no longer counts' : ''}.`,
    remedy: 'name' in lack ? `Take ${lack.name} again.` : remedyFor([lack]),
    about: ('name' in lack ? lack.name : lack.lack === 'outside-table' && lack.names[0]) || tolerance.of,
  }));
}

function undecided(plan: Plan, job: Job, node: PlanNode): readonly Refusal[] {
  const read = reader(plan, job);
  const open = openConditions(node, plan, job.control.bytes).flatMap((index) => {
    const condition = plan.conditions[index];
    return condition === undefined ? [] : [{ condition, answer: evaluate(condition.lowered, read) }];
  });
  const unseen = openDecisions(node, plan, job.control.bytes).flatMap((one) =>
    one.by === 'test' ? (one.needs ?? []).filter((cell) => job.control.bytes[cell] === ENTRY.none) : [],
  );
  if (unseen.length > 0) {
    return [...new Set(unseen.map((cell) => plan.cells[cell]?.name ?? ''))].map((name) => ({
      code: 'requirement',
      message: `What comes next depends on ${name}, and it is not recorded.`,
      remedy: `Record ${name}.`,
      about: name,
    }));
  }
  const unknown = open.filter((one) => one.answer.truth === undefined);
  if (unknown.length > 0) {
    return unknown.map(({ condition, answer }) => ({
      code: 'requirement',
      message: `It is not known whether ${condition.says}: ${answer.lacks.map((lack) => writeLack(lack)).join(', ')}.`,
      remedy: remedyFor(answer.lacks),
    }));
  }
  return [
    {
      code: 'requirement',
      message: `This choice has not exactly one true case: ${open.map((one) => writeExplanation(one.answer.explanation)).join('; ')}.`,
      remedy: 'The procedure has to be corrected. Close the job as unfinished, and tell its author.',
    },
  ];
}

function releaseOffers(plan: Plan, job: Job): readonly Offer[] {
  const hold = plan.holds[job.control.hold];
  return waysOn(plan, job.control).flatMap((signal): readonly Offer[] => {
    const way = signal.signal === 'released' ? hold?.releases[signal.release] : undefined;
    if (way === undefined) return [];
    const body = way.by === 'rework' ? plan.nodes[way.body] : undefined;
    const goesTo =
      body?.node === 'block' && body.resumes !== undefined ? plan.nodes[body.resumes.at]?.path : undefined;
    return [
      {
        offer: 'release',
        by: way.by,
        ...(way.role === undefined ? {} : { role: way.role }),
        ...(goesTo === undefined ? {} : { goesTo }),
      },
    ];
  });
}

/** A step as its work is asked for, where that is shorter than as records tell it. */
function asAsked(step: OfferedStep): OfferedStep {
  const { act } = step;
  if (act?.act !== 'tighten' || act.asked === undefined) return step;
  return step.title === act.says ? { ...step, title: act.asked } : { ...step, says: act.asked };
}

/** What a step is about, for a person. */
export function describeStep(plan: Plan, node: PlanNode): OfferedStep {
  const step = node.node === 'step' ? node : undefined;
  const says = step?.act?.says;
  const title =
    (node.node === 'step' || node.node === 'block' ? node.title : undefined) ??
    says ??
    node.id.replaceAll('-', ' ');
  return {
    path: node.path,
    title,
    ...(says === undefined || says === title ? {} : { says }),
    ...(node.bore === undefined ? {} : { bore: node.bore }),
    hazards: (step?.hazards ?? []).flatMap((id) => plan.hazards.find((one) => one.id === id) ?? []),
    ...(step?.act === undefined ? {} : { act: step.act }),
    uses: step?.uses ?? [],
  };
}

const knownSteps = new WeakMap<Plan, readonly number[]>();

function progress(plan: Plan, { control }: Job): Offers['progress'] {
  const steps = knownSteps.get(plan) ?? plan.nodes.flatMap((one) => (one.node === 'step' ? one.index : []));
  knownSteps.set(plan, steps);
  const done = steps.filter((one) => progressOf(plan, control, one) === PHASE.done);
  return { done: done.length, of: steps.length };
}

function crankText(plan: Plan, job: Job): string {
  const value = job.control.bytes[0] ?? 0;
  return value === 0 ? 'unknown' : (plan.crank.positions[value - 1]?.title ?? 'unknown');
}
