import {
  describeStep,
  type Entry,
  findEntry,
  findNode,
  type Job,
  type Plan,
  type PlanTolerance,
} from '@ferrule/engine';
import { shorten } from './shorten.ts';

/** The title of a step, without its full stop. */
export function stepTitle(plan: Plan, path: string): string {
  const node = plan.nodes[findNode(plan, path) ?? -1];
  return node === undefined ? path : describeStep(plan, node).title.replace(/\.$/, '');
}

/** The title of a step in quotes, with its bore where the title does not say it. */
export function stepPlace(plan: Plan, path: string): string {
  let node = plan.nodes[findNode(plan, path) ?? -1];
  // A block without a title is known by the first thing that is done in it.
  while (node?.node === 'block' && node.title === undefined && node.first >= 0) node = plan.nodes[node.first];
  const title = stepTitle(plan, node?.path ?? path);
  const says = node?.bore === undefined || new RegExp(`\\b${node.bore}\\b`).test(title);
  return `"${shorten(title, 90)}"${says ? '' : ` (bore ${node?.bore ?? ''})`}`;
}

/** The title of an entry, cut to `most` signs, with its bore where the title does not say it. */
export function entryTitle(plan: Plan, name: string, most = 100): string {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  if (entry === undefined) return name;
  const whole = entry.title.replace(/[:.]$/, '');
  // The first sentence of a long one says what it is.
  const own = shorten(whole.length <= most ? whole : whole.replace(/\. .*$/s, ''), most);
  // "The same, …" says nothing by itself.
  const title = /^the same\b/i.test(own) ? `${nameOf(name)}: ${own}` : own;
  return entry.bore === undefined || /bore \d+$/.test(title) ? title : `Bore ${entry.bore}: ${title}`;
}

/** The name of a reading or a value in words: `as-left.depth-shut` is as left depth shut, a bore left aside. */
export const nameOf = (name: string): string => name.replace(/@\d+$/, '').replace(/[-.]/g, ' ');

export function answerText(plan: Plan, name: string, answer: string): string {
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  const answers = entry?.entry === 'observation' ? entry.answers : [];
  return answers.find((one) => one.id === answer)?.text ?? answer;
}

/** The title of a role. */
export const roleTitle = (plan: Plan, role: string): string =>
  plan.roles.find((one) => one.id === role)?.title ?? role;

/** Who fills a role in this job, for a person. */
export function holderOf({ plan, job }: { readonly plan: Plan; readonly job: Job }, role: string): string {
  const holders = job.persons.filter((one) => one.role === role).map((one) => one.person);
  return `${holders.join(' or ') || 'nobody'} (${roleTitle(plan, role)})`;
}

type Identity = Extract<Entry, { entry: 'identity' }>;

/** A part without its place, and the bore of it. */
export function partOf({ title, place }: Identity): { readonly part: string; readonly bore?: string } {
  const bore = /@(\d+)$/.exec(place)?.[1];
  return { part: title.replace(/,? bore \d+$/, ''), ...(bore === undefined ? {} : { bore }) };
}

/** A part at its place in words: roller follower of bore 3. */
function partPlace(entry: Identity): string {
  const { part, bore } = partOf(entry);
  const lower = /^[A-Z][a-z]/.test(part) ? part.charAt(0).toLowerCase() + part.slice(1) : part;
  return bore === undefined ? lower : `${lower} of bore ${bore}`;
}

const known = new WeakMap<Plan, ReadonlyMap<string, string>>();

function titlesOf(plan: Plan): ReadonlyMap<string, string> {
  const found = known.get(plan);
  if (found !== undefined) return found;
  const titles = new Map<string, string>();
  for (const { id, title } of [...plan.roles, ...plan.instruments]) titles.set(id, title);
  for (const node of plan.nodes) if (node.node === 'step') titles.set(node.path, stepPlace(plan, node.path));
  for (const entry of plan.entries) {
    titles.set(entry.name, `"${entryTitle(plan, entry.name, 90)}"`);
    if (entry.entry === 'identity') titles.set(entry.place, partPlace(entry));
  }
  for (const cell of plan.cells) {
    const [, name = '', bore = ''] = /^(.*)@(\d+)$/.exec(cell.name) ?? [];
    if (name !== '' && !titles.has(cell.name)) titles.set(cell.name, `${nameOf(name)} of bore ${bore}`);
  }
  known.set(plan, titles);
  return titles;
}

/**
 * A message of the engine with titles for ids: names that no word of a sentence is written like, and the one that the
 * message is about.
 */
export function inTitles(plan: Plan, text: string, about?: string): string {
  const titles = titlesOf(plan);
  return text.replace(/(?<![\w@./=-])[a-z][a-z0-9]*(?:[@./=-][a-z0-9]+)*(?![\w@/=-])/g, (word) => {
    const isName = /[@/=.-]/.test(word) || word === about;
    return (isName ? titles.get(word) : undefined) ?? word;
  });
}

const MOST_TITLES = 3;

/** Titles of tolerances, as many as can be read at a glance. */
export function tolerancesNamed(tolerances: readonly PlanTolerance[]): string {
  const titles = [...new Set(tolerances.map((one) => one.title))];
  const more = titles.length - MOST_TITLES;
  const shown = titles.slice(0, MOST_TITLES).map((one) => `"${one}"`);
  return more > 0 ? `${shown.join(', ')} and ${more} more` : shown.join(', ');
}
