import type { Entry, Fact, WrittenVerdict } from '@ferrule/engine';
import { concededIn, readingText, stripOf, toleranceOf } from '@ferrule/print';
import type { Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { partsAt, statesAt } from './bore-cells.ts';
import { fewDigits } from './few-digits.ts';
import { judgedTitle } from './judged-title.ts';
import { ToleranceStripShown } from './tolerance-strip-shown.tsx';
import { VerdictMark } from './verdict-mark.tsx';

/** What is known of a bore, or of the engine as a whole: states, parts, and what was read. */
export function KnownHere({
  session,
  bore,
  chosen,
}: {
  readonly session: JobSession;
  readonly bore: number | undefined;
  readonly chosen: Signal<number | undefined>;
}) {
  const { plan, pack, folded } = session;
  const { job } = folded.value;
  const place = useRef<HTMLElement>(null);
  const isChosen = chosen.value !== undefined;
  const wasChosen = useRef(isChosen);
  // On a telephone this stands far below the engine that was touched, and the step stands above it.
  useEffect(() => {
    if (isChosen === wasChosen.current && !isChosen) return;
    wasChosen.current = isChosen;
    const seen = isChosen ? place.current : document.querySelector('.step');
    if (seen !== null && isOutOfSight(seen)) seen.scrollIntoView({ block: 'start' });
  }, [isChosen, chosen.value]);
  const states = statesAt(plan, pack, job, bore);
  const parts = partsAt(plan, pack, job, bore);
  const open = states.filter(({ isAtRest }) => !isAtRest);
  const rest = states.filter(({ isAtRest }) => isAtRest);
  return (
    <section ref={place} class="known" aria-labelledby="known-title">
      <h2 id="known-title">{bore === undefined ? 'The engine as a whole' : `Bore ${bore}`}</h2>
      {chosen.value === undefined ? null : (
        <button type="button" class="plain" onClick={() => (chosen.value = undefined)}>
          Back to the step
        </button>
      )}
      {open.length === 0 ? null : (
        <dl class="states">
          {open.map(({ name, title, value }) => (
            <div key={name} class="open">
              <dt>{title}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      {rest.length === 0 ? null : (
        <details>
          <summary>{rest.length} more, already as they have to be</summary>
          <dl class="states">
            {rest.map(({ name, title, value }) => (
              <div key={name}>
                <dt>{title}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
        </details>
      )}
      <Parts parts={parts} />
      <Readings session={session} bore={bore} />
    </section>
  );
}

/** Whether nothing, or hardly more than its first line, is to be seen. */
function isOutOfSight(place: Element): boolean {
  const { top } = place.getBoundingClientRect();
  return top < 0 || top > window.innerHeight - 160;
}

function Parts({ parts }: { readonly parts: ReturnType<typeof partsAt> }) {
  const told = parts.filter(({ serial, isTouched }) => serial !== undefined || isTouched);
  if (told.length === 0) return null;
  return (
    <>
      <h3>Parts</h3>
      <dl class="states">
        {told.map(({ title, says, serial }) => (
          <div key={title}>
            <dt>{title}</dt>
            <dd>
              {serial === undefined ? '' : `${serial}, `}
              {says}
            </dd>
          </div>
        ))}
      </dl>
    </>
  );
}

const columns = ['as-received', 'baseline', 'once', 'as-left'] as const;
type Column = (typeof columns)[number];

const columnWords: Readonly<Record<Column, string>> = {
  'as-received': 'as received',
  baseline: 'baseline',
  once: '',
  'as-left': 'as left',
};

interface Row {
  readonly title: string;
  readonly cells: Partial<Readonly<Record<Column, string>>>;
}

/** Readings of one name in their columns, side by side; what was looked at and written down; and the verdicts. */
function Readings({ session, bore }: { readonly session: JobSession; readonly bore: number | undefined }) {
  const { plan, folded } = session;
  const { job, stored } = folded.value;
  const measured = new Map<string, Row>();
  const looked: { readonly title: string; readonly text: string }[] = [];
  plan.entries.forEach((entry, index) => {
    const taken = job.taken[index];
    if (entry.bore !== bore || taken === undefined || entry.entry === 'identity') return;
    const title = titleOf(entry);
    const text = textOf(entry, job.facts, taken.seq, taken.text);
    if (entry.entry !== 'reading') looked.push({ title, text });
    else {
      const row = measured.get(title) ?? { title, cells: {} };
      measured.set(title, { ...row, cells: { ...row.cells, [entry.column ?? 'once']: text } });
    }
  });
  const verdicts = verdictsAt(job.facts, (name) => {
    const tolerance = toleranceOf(plan, name);
    // Of what was struck the verdict no longer counts either.
    return (
      boreOf(name) === bore && tolerance?.entries.every((index) => job.taken[index] !== undefined) === true
    );
  });
  const conceded = concededIn(job);
  const rows = [...measured.values()];
  const beside = rows.filter(({ cells }) => Object.keys(cells).length > 1);
  const alone = rows.filter(({ cells }) => Object.keys(cells).length === 1);
  const used = columns.filter((column) => beside.some(({ cells }) => column in cells));
  return (
    <>
      {rows.length === 0 ? null : <h3>Measured</h3>}
      {beside.length === 0 ? null : (
        <table class="readings">
          <thead>
            <tr>
              <th scope="col">
                <span class="unseen">What</span>
              </th>
              {used.map((column) => (
                <th key={column} scope="col">
                  {columnWords[column]}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {beside.map(({ title, cells }) => (
              <tr key={title}>
                <th scope="row">{title}</th>
                {used.map((column) => (
                  <td key={column}>{cells[column] ?? ''}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {alone.length === 0 ? null : (
        <dl class="states">
          {alone.flatMap(({ title, cells }) =>
            columns.flatMap((column) =>
              cells[column] === undefined
                ? []
                : [
                    <div key={title}>
                      <dt>
                        {title}
                        {columnWords[column] === '' ? '' : `, ${columnWords[column]}`}
                      </dt>
                      <dd>
                        <strong>{cells[column]}</strong>
                      </dd>
                    </div>,
                  ],
            ),
          )}
        </dl>
      )}
      {verdicts.length === 0 ? null : (
        <>
          <h3>Judged</h3>
          <ul class="verdicts">
            {verdicts.map(({ seq, of, verdict }) => {
              const tolerance = toleranceOf(plan, of);
              const strip = tolerance === undefined ? undefined : stripOf(tolerance, verdict);
              return (
                <li key={of}>
                  <p class="verdict-line">
                    <VerdictMark verdict={verdict.verdict} />
                    <span>
                      {tolerance === undefined
                        ? of
                        : judgedTitle({ plan, pack: session.pack, facts: job.facts }, tolerance)}
                      : <strong>{fewDigits(verdict.value ?? '')}</strong> {verdict.verdict}
                      {conceded.has(seq) ? ', accepted by concession' : ''}
                    </span>
                    {seq > stored ? <em class="provisional">provisional</em> : null}
                  </p>
                  {strip === undefined ? null : <ToleranceStripShown strip={strip} />}
                </li>
              );
            })}
          </ul>
        </>
      )}
      {looked.length === 0 ? null : (
        <details>
          <summary>Looked at or written down: {looked.length}</summary>
          <dl class="looked">
            {looked.map(({ title, text }) => (
              <div key={title}>
                <dt>{title}</dt>
                <dd>{text}</dd>
              </div>
            ))}
          </dl>
        </details>
      )}
    </>
  );
}

const titleOf = ({ title, bore }: Entry): string =>
  title.replace(/[:.]$/, '').replace(new RegExp(`,? bore ${bore ?? 0}$`), '');

const boreOf = (name: string): number | undefined => {
  const [, bore] = /@(\d+)$/.exec(name) ?? [];
  return bore === undefined ? undefined : Number(bore);
};

function textOf(entry: Entry, facts: readonly Fact[], seq: number, text: string): string {
  if (entry.entry === 'observation') return entry.answers.find(({ id }) => id === text)?.text ?? text;
  const fact = facts[seq - 1]?.fact;
  if (fact?.kind === 'reading' || fact?.kind === 'carried') return readingText(fact) ?? text;
  return text;
}

/** The last verdict on each thing that was judged. */
function verdictsAt(
  facts: readonly Fact[],
  wanted: (of: string) => boolean,
): readonly { readonly seq: number; readonly of: string; readonly verdict: WrittenVerdict }[] {
  const latest = new Map<string, { seq: number; of: string; verdict: WrittenVerdict }>();
  for (const { seq, fact } of facts)
    if (fact.kind === 'judged' && wanted(fact.of))
      latest.set(fact.of, { seq, of: fact.of, verdict: fact.verdict });
  return [...latest.values()];
}
