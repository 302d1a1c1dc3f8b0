import type { Decision, Entry, Plan, StepNode, Test, TypedTruth } from '@ferrule/engine';
import { type Markup, markup } from '../markup.ts';
import { firstSentence } from './hazards.ts';
import { capital, sayingOf, type Written } from './written.ts';

/** A question that parts fewer tests than this is plain from the steps themselves. */
const LEAST_TESTS = 5;
const LEAST_ANSWERS = 3;

/**
 * For each question that the way through the work hangs on, a table of the tests by its answers: which are done after which
 * answer, and in which order. Nothing where no question parts many tests.
 */
export function waysTable(written: Written): Markup | undefined {
  const tables = written.plan.entries.flatMap((entry, index) =>
    entry.entry === 'observation' && entry.bore === undefined && entry.answers.length >= LEAST_ANSWERS
      ? (tableOf(written, entry, index) ?? [])
      : [],
  );
  return tables.length === 0 ? undefined : markup`${tables}`;
}

interface Line {
  readonly part: number;
  count: number;
  readonly from: string;
  to: string;
  says: string;
  readonly isFor: readonly boolean[];
}

function tableOf(
  written: Written,
  entry: Extract<Entry, { entry: 'observation' }>,
  index: number,
): Markup | undefined {
  const { plan, work } = written;
  const asked = work.stepOfEntry(index);
  const all = testsIn(written);
  const tests = all.flatMap(({ step, number, part, title }) => {
    const isFor = entry.answers.map((_, answer) => mayCome(plan, step, { entry, value: answer + 1 }));
    return isFor.every((one) => one) ? [] : [{ step, number, part, title, isFor }];
  });
  if (asked === undefined || tests.length < LEAST_TESTS) return undefined;
  const lines: Line[] = [];
  for (const { step, number, part, title, isFor } of tests) {
    const last = lines.at(-1);
    if (last?.part === part && last.isFor.every((one, place) => one === isFor[place])) {
      last.to = number;
      // Tests that are all that a part has go by its title.
      if (title !== '' && all.filter((one) => one.part === part).length === ++last.count) last.says = title;
    } else
      lines.push({ part, count: 1, from: number, to: number, says: firstSentence(sayingOf(step)), isFor });
  }
  const counts = entry.answers.map(() => 0);
  const title = entry.title.replace(/[\s,]*…$/, '');
  return markup`<p class="fine"><b>Which tests after which answer at step ${asked}.</b> The numbers in a column are the order of its tests. A test that is not listed is for every answer. Each is done only as long as its own “Only if” says so.</p><table class="list ways"><thead><tr><th scope="col">Step</th><th scope="col">${capital(title)} …</th>${entry.answers.map((answer) => markup`<th scope="col">${answer.text}</th>`)}</tr></thead><tbody>${lines.map(
    ({ from, to, says, isFor }) =>
      markup`<tr><td>${from === to ? from : `${from} to ${to}`}</td><td>${says}</td>${isFor.map(
        (one, answer) => {
          if (one) counts[answer] = (counts[answer] ?? 0) + 1;
          return markup`<td class="order">${one ? counts[answer] : undefined}</td>`;
        },
      )}</tr>`,
  )}</tbody></table>`;
}

interface Tested {
  readonly step: StepNode;
  readonly number: string;
  /** The part of the work that it stands in, and the title of that. */
  readonly part: number;
  readonly title: string;
}

/** Steps of the work at which something is read, seen or judged, each once with its number. */
function testsIn({ work }: Written): readonly Tested[] {
  return work.sections.flatMap((section, part) =>
    section.tables
      .flatMap((one) => one.rows)
      .flatMap((row) => {
        const step = row.row === 'step' ? row.at.find((one) => one !== undefined) : undefined;
        return row.row === 'step' &&
          step !== undefined &&
          (step.entries.length > 0 || step.check !== undefined)
          ? [{ step, number: row.number, part, title: section.title }]
          : [];
      }),
  );
}

interface Answered {
  readonly entry: Entry;
  readonly value: number;
}

/** Whether a step can be come to after an answer, as far as that alone says. */
function mayCome(plan: Plan, step: StepNode, answered: Answered): boolean {
  for (let at = step.index; at >= 0; ) {
    const node = plan.nodes[at];
    if (node === undefined) return true;
    if (node.onlyIf !== undefined && decided(plan, node.onlyIf, answered) === false) return false;
    const around = plan.nodes[node.parent];
    if (around?.node === 'choose')
      for (const { body, when } of around.cases) {
        const holds = decided(plan, when, answered);
        if (body === at) {
          if (holds === false) return false;
          break;
        }
        if (holds === true) return false;
      }
    at = node.parent;
  }
  return true;
}

type Truth = boolean | undefined;

function decided(plan: Plan, decision: Decision, answered: Answered): Truth {
  if (decision.by === 'test') return tested(decision.test, answered);
  const condition = plan.conditions[decision.condition];
  return condition === undefined ? undefined : held(condition.lowered.typed, answered);
}

function tested(test: Test, answered: Answered): Truth {
  if ('cell' in test)
    return test.cell === answered.entry.cell ? test.among.includes(answered.value) : undefined;
  if ('not' in test) return negated(tested(test.not, answered));
  return 'all' in test
    ? joined(
        test.all.map((one) => tested(one, answered)),
        false,
      )
    : joined(
        test.any.map((one) => tested(one, answered)),
        true,
      );
}

function held(truth: TypedTruth, answered: Answered): Truth {
  switch (truth.node) {
    case 'connective': {
      const parts = truth.operands.map((one) => held(one, answered));
      return truth.connective === 'not' ? negated(parts[0]) : joined(parts, truth.connective === 'or');
    }
    case 'membership': {
      const { text, among, negated: isNegated } = truth;
      const { entry, value } = answered;
      if (text.node !== 'name' || text.name !== entry.name || entry.entry !== 'observation') return undefined;
      const given = entry.answers[value - 1]?.id;
      const ids = among.map((one) => (one.node === 'literal' ? one.text : undefined));
      return ids.includes(undefined) ? undefined : ids.includes(given) !== isNegated;
    }
    default:
      return undefined;
  }
}

const negated = (truth: Truth): Truth => (truth === undefined ? undefined : !truth);

/** All of them, or any of them where `decisive` is true; what is not known leaves it open. */
function joined(parts: readonly Truth[], decisive: boolean): Truth {
  if (parts.includes(decisive)) return decisive;
  return parts.includes(undefined) ? undefined : !decisive;
}
