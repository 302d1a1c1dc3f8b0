import { describeStep, findEntry, findNode, type Plan } from '@ferrule/engine';
import { shorten } from '../terminal/wrap.ts';

/** The title of a step, without its full stop. */
export function stepTitle(plan: Plan, path: string): string {
  const node = plan.nodes[findNode(plan, path) ?? -1];
  return node === undefined ? path : describeStep(plan, node).title.replace(/\.$/, '');
}

/** The title of an entry, cut to `most` signs, with its bore where the title does not say it. */
export function entryTitle(plan: Plan, name: string, most = 60): string {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  if (entry === undefined) return name;
  const title = shorten(entry.title.replace(/[:.]$/, ''), most);
  return entry.bore === undefined || /bore \d+$/.test(title) ? title : `Bore ${entry.bore}: ${title}`;
}

export function answerText(plan: Plan, name: string, answer: string): string {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  const answers = entry?.entry === 'observation' ? entry.answers : [];
  return answers.find((one) => one.id === answer)?.text ?? answer;
}
