import { type Pack, type Plan, type StepNode, writeQuantity } from '@ferrule/engine';
import { type Insert, markup } from '../markup.ts';
import { mergeTexts } from '../merge-texts.ts';
import type { Holds } from './holds.ts';
import type { Worklist } from './worklist.ts';

/** What the steps of a sheet are written with. */
export interface Written {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly work: Worklist;
  readonly holds: Holds;
}

export const titleOfTool = (pack: Pack, id: string): string =>
  pack.equipment?.[id]?.title ?? pack.supplies?.[id]?.title ?? pack.instruments?.[id]?.title ?? id;

export const roleTitle = (plan: Plan, role: string): string =>
  plan.roles.find((one) => one.id === role)?.title ?? role;

/** What a step says; one without words judges, or takes down an entry. */
export function sayingOf(step: StepNode): string {
  const said = step.act?.says ?? step.title;
  // A time to wait beside words of its own would be lost.
  if (step.act?.act === 'wait' && said !== undefined) {
    const wait = `Wait ${writeQuantity(step.act.time)}.`;
    return said === wait ? said : `${said} ${wait}`;
  }
  return said ?? capital(step.id.replaceAll('-', ' '));
}

/** A text for all places: what differs stands as N where it is a number, and as a list otherwise. */
export function mergedForAll(texts: readonly string[]): Insert {
  const merged = mergeTexts(texts);
  return merged.pieces.map((piece) => {
    if (typeof piece === 'string') return piece;
    const values = [...new Set(merged.gaps[piece] ?? [])];
    return values.every((value) => /^\d+$/.test(value))
      ? markup`<b class="gap">N</b>`
      : values.filter((value) => value.trim() !== '').join(' or ');
  });
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What an answer is called in its box. */
export const letterOf = (index: number): string => String.fromCharCode(97 + (index % 26));
