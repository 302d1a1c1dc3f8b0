import { useState } from 'preact/hooks';
import { counted, grouped } from './counted.ts';
import type { CheckDocument, FaultTold, GuaranteeTold, ProvenProcedure, Standing } from './examination.ts';
import { ProcedureLine } from './line/procedure-line.tsx';
import { LineMark, type LineMarked } from './line-mark.tsx';
import { packAddress } from './pack-address.ts';

/** What was proved of each procedure for each engine, what that rests on, and the procedure as a line. */
export function ProofShown({
  document,
  number,
}: {
  readonly document: CheckDocument;
  /** Of the fault that is sought on the line, from 1 on. */
  readonly number: number | undefined;
}) {
  const { procedures, faults } = document;
  if (procedures.length === 0)
    return <p class="sum">Nothing is proved before what was found is put right.</p>;
  return (
    <>
      <p class="sum">
        {faults.length === 0
          ? procedures.some(({ variants }) => variants.some(({ isCutShort }) => isCutShort))
            ? 'Nothing was refuted as far as the proof went; it was cut short.'
            : 'Nothing was refuted.'
          : `${counted(faults.length, 'thing', 'things')} can go wrong.`}
      </p>
      {procedures.map((one) => (
        <ProcedureProved
          key={one.procedure}
          procedure={one}
          document={document}
          sought={number === undefined ? undefined : faults[number - 1]}
        />
      ))}
      <p class="empty">
        What is proved is what the pack models: its states, its laws and its steps. It is no proof of anything
        else.
      </p>
    </>
  );
}

function ProcedureProved({
  procedure,
  document,
  sought,
}: {
  readonly procedure: ProvenProcedure;
  readonly document: CheckDocument;
  readonly sought: FaultTold | undefined;
}) {
  const { title, variants, guarantees, free, aside } = procedure;
  const way = (fault: number): string => packAddress(document, 'way', String(fault + 1));
  return (
    <article class="proved">
      <h2>{title}</h2>
      <ul class="guarantees">
        {guarantees.map((one) => (
          <GuaranteeShown
            key={one.guarantee}
            told={one}
            procedure={procedure}
            document={document}
            way={way}
          />
        ))}
        <li class="guarantee">
          <LineMark line="through" />
          <p class="guarantee-says">Every loop ends in a hold, and every hazard is shown before its act.</p>
          <p class="guarantee-stands">so for every pack: it cannot be written otherwise</p>
        </li>
      </ul>
      {guarantees.some(({ standing }) => Object.values(standing).includes('as-far-as-seen')) ? (
        <p class="empty">
          As far as was seen: a fault hides what lies behind it, or the proof was cut short. Put that right,
          and look again.
        </p>
      ) : null}
      <h3>What was gone through</h3>
      <div class="wide">
        <table class="effort">
          <thead>
            <tr>
              <th scope="col">Engine</th>
              <th scope="col">Steps</th>
              <th scope="col">States</th>
              <th scope="col">Strikes</th>
              <th scope="col">Time</th>
            </tr>
          </thead>
          <tbody>
            {variants.map((one) => (
              <tr key={one.variant}>
                <th scope="row">{one.title}</th>
                <td>{grouped(one.steps)}</td>
                <td>
                  {grouped(one.states)}
                  {one.isCutShort ? ' (cut short)' : ''}
                </td>
                <td>{grouped(one.strikes)}</td>
                <td>{secondsOf(one.milliseconds)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="entry-hint">
        States are what the proof has told apart. Strikes are those that it has followed up: one that leads
        nowhere new is not counted.
      </p>
      <div class="rests-on">
        <section>
          <h3>Left open, and every outcome tried</h3>
          <ul class="told-list">
            {free.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </section>
        <section>
          <h3>Not looked at</h3>
          <ul class="told-list">
            {aside.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </section>
      </div>
      <LineOfProcedure procedure={procedure} document={document} sought={sought} way={way} />
    </article>
  );
}

const marks = {
  holds: 'through',
  refuted: 'broken',
  'as-far-as-seen': 'half-seen',
} as const satisfies Readonly<Record<Standing, LineMarked>>;

/** The worst standing first: it is the one that the mark shows. */
const order: readonly Standing[] = ['refuted', 'as-far-as-seen', 'holds'];
const words: Readonly<Record<Standing, string>> = {
  holds: 'holds',
  refuted: 'does not hold',
  'as-far-as-seen': 'holds as far as was seen',
};

function GuaranteeShown({
  told: { says, standing, faults },
  procedure: { variants },
  document,
  way,
}: {
  readonly told: GuaranteeTold;
  readonly procedure: ProvenProcedure;
  readonly document: CheckDocument;
  readonly way: (fault: number) => string;
}) {
  const groups = order.flatMap((one) => {
    const titles = variants.filter(({ variant }) => standing[variant] === one).map(({ title }) => title);
    return titles.length === 0 ? [] : [{ standing: one, titles }];
  });
  const worst = groups[0]?.standing ?? 'holds';
  return (
    <li class={`guarantee guarantee-${worst}`}>
      <LineMark line={marks[worst]} />
      <p class="guarantee-says">{says}</p>
      <p class="guarantee-stands">
        {groups
          .map((one) =>
            variants.length < 2
              ? words[one.standing]
              : groups.length < 2
                ? `${words[one.standing]} for every engine`
                : `${words[one.standing]} for ${one.titles.join(', ')}`,
          )
          .join('; ')}
      </p>
      {faults.map((fault) => (
        <div key={fault} class="guarantee-fault">
          <p>{document.faults[fault]?.means ?? ''}</p>
          <a class="second" href={way(fault)}>
            Go the way there, step by step
          </a>
        </div>
      ))}
    </li>
  );
}

const secondsOf = (milliseconds: number): string =>
  milliseconds < 1000 ? `${milliseconds} ms` : `${(milliseconds / 1000).toFixed(1)} s`;

function LineOfProcedure({
  procedure: { procedure, variants },
  document,
  sought: soughtAnywhere,
  way,
}: {
  readonly procedure: ProvenProcedure;
  readonly document: CheckDocument;
  readonly sought: FaultTold | undefined;
  readonly way: (fault: number) => string;
}) {
  const sought = soughtAnywhere?.procedure === procedure ? soughtAnywhere : undefined;
  const faulty = sought ?? document.faults.find((one) => one.procedure === procedure);
  // Where something can go wrong, the line is of an engine on which it does.
  const [variant, setVariant] = useState(faulty?.variant ?? variants[0]?.variant ?? '');
  const proven = variants.find((one) => one.variant === variant);
  if (document.digest === undefined || proven === undefined) return null;
  return (
    <section class="procedure-line">
      <h3>The procedure as a line</h3>
      {variants.length < 2 ? null : (
        <label class="line-engine">
          Engine
          <select value={variant} onChange={({ currentTarget }) => setVariant(currentTarget.value)}>
            {variants.map((one) => (
              <option key={one.variant} value={one.variant}>
                {one.title}
              </option>
            ))}
          </select>
        </label>
      )}
      <ProcedureLine
        digest={document.digest}
        procedure={procedure}
        proven={proven}
        faults={document.faults.filter(
          (one) => one.procedure === procedure && one.variants.includes(variant),
        )}
        wayTo={(fault) => way(document.faults.indexOf(fault))}
        sought={sought?.node}
      />
    </section>
  );
}
