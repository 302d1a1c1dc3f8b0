import { signal } from '@preact/signals';
import { useMemo, useRef, useState } from 'preact/hooks';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import type { CheckDocument, FaultTold } from './examination.ts';
import { LineMark } from './line-mark.tsx';
import { packAddress } from './pack-address.ts';
import { LineShown, PlaceNamed } from './place-shown.tsx';
import { StandingShown } from './standing-shown.tsx';
import { usePlan } from './use-plan.ts';
import { VisitsShown } from './visits-shown.tsx';
import { controlsAlong } from './way-walked.ts';

/** The shortest way to what does not hold, gone forth and back: what is done, and how the engine then stands. */
export function WayShown({
  document,
  number,
}: {
  readonly document: CheckDocument;
  readonly number: number;
}) {
  const fault = document.faults[number - 1];
  if (fault === undefined || document.digest === undefined)
    return (
      <p class="sum">{`The proof of this pack shows no fault ${number}: it may have been put right.`}</p>
    );
  return <WayOf key={number} digest={document.digest} fault={fault} number={number} document={document} />;
}

function WayOf({
  digest,
  fault,
  number,
  document,
}: {
  readonly digest: string;
  readonly fault: FaultTold;
  readonly number: number;
  readonly document: CheckDocument;
}) {
  const { came, again, made } = usePlan(digest, fault.procedure, fault.variant);
  const procedure = document.procedures.find((one) => one.procedure === fault.procedure);
  const titleOf = (variant: string): string =>
    procedure?.variants.find((one) => one.variant === variant)?.title ?? variant;
  const alike = [
    ...fault.variants.filter((one) => one !== fault.variant).map(titleOf),
    ...(fault.bores.length > 1 ? [`bores ${[...fault.bores].sort((a, b) => a - b).join(', ')}`] : []),
  ];
  return (
    <>
      <section class="what-fails">
        <p class="finding-head">
          <LineMark line="broken" />
          <strong>can go wrong</strong>
        </p>
        <h2>{fault.means}</h2>
        <p class="empty">
          {`${procedure?.title ?? fault.procedure}, for ${titleOf(fault.variant)}${alike.length === 0 ? '' : `; it is the same for ${alike.join(', ')}`}`}
        </p>
        {fault.law === undefined ? null : (
          <>
            <p>
              Laid down at <PlaceNamed place={fault.law} />
            </p>
            <LineShown place={fault.law} />
          </>
        )}
      </section>
      {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
      {came?.came === 'away' ? <AwayShown onAgain={again} /> : null}
      {made === undefined ? null : (
        <WayWalked fault={fault} {...made} onLine={packAddress(document, 'proof', String(number))} />
      )}
    </>
  );
}

type Made = NonNullable<ReturnType<typeof usePlan>['made']>;

function WayWalked({
  fault,
  plan,
  pack,
  onLine,
}: Made & {
  readonly fault: FaultTold;
  /** Where the procedure is drawn as a line. */
  readonly onLine: string;
}) {
  const { visits } = fault;
  const controls = useMemo(() => controlsAlong(plan, fault), [plan, fault]);
  const [at, setAt] = useState(0);
  const chosen = useMemo(() => signal<number | undefined>(undefined), []);
  const told = useRef<HTMLDivElement>(null);
  const control = controls[at];
  const go = (to: number): void => setAt(Math.max(0, Math.min(visits.length, to)));
  if (control === undefined) return null;
  const visit = visits[at - 1];
  const isOver = at === visits.length;
  return (
    <div class="walk-beside">
      <section class="walk" aria-label="The way there">
        <div class="walk-keys">
          <button type="button" class="second" disabled={at === 0} onClick={() => go(at - 1)}>
            Back
          </button>
          <label class="walk-slide">
            <span class="unseen">How far on the way</span>
            <input
              type="range"
              min={0}
              max={visits.length}
              value={at}
              aria-valuetext={placeOnWay(at, visits.length)}
              onInput={({ currentTarget }) => go(Number(currentTarget.value))}
            />
          </label>
          <button type="button" class="second" disabled={isOver} onClick={() => go(at + 1)}>
            On
          </button>
        </div>
        <StandingShown
          {...{ plan, pack, control, chosen }}
          before={controls[at - 1]}
          watched={fault.watched}
          isOver={isOver}
        />
        <div class="walk-says" role="status" tabIndex={-1} ref={told}>
          <p class="step-place">{placeOnWay(at, visits.length)}</p>
          <p class="walk-title">{visit === undefined ? 'Nothing is done yet.' : visit.title}</p>
          {visit === undefined ? null : (
            <>
              <ul class="told-list">
                {[...visit.happens, ...visit.changes].map((one, index) => (
                  <li key={index}>{one}</li>
                ))}
              </ul>
              <PlaceNamed place={visit.place} />
            </>
          )}
          {isOver ? <FaultReached fault={fault} onLine={onLine} /> : null}
        </div>
      </section>
      <VisitsShown
        visits={visits}
        next={fault.next}
        at={at}
        onGo={(to) => {
          go(to);
          told.current?.scrollIntoView();
          told.current?.focus({ preventScroll: true });
        }}
      />
    </div>
  );
}

const placeOnWay = (at: number, of: number): string =>
  at === 0 ? `Before the first of ${of} steps` : `After step ${at} of ${of}`;

function FaultReached({
  fault: { node, next, standing, replayed, mend },
  onLine,
}: {
  readonly fault: FaultTold;
  readonly onLine: string;
}) {
  return (
    <div class="fault-reached">
      <p class="finding-head">
        <LineMark line="broken" />
        <strong>{next}</strong>
      </p>
      {standing.map((one) => (
        <p key={one}>{one}</p>
      ))}
      <p>{replayed}</p>
      <p class="remedy">{mend}</p>
      {node === undefined ? null : (
        <a class="second" href={onLine}>
          Where it is on the line
        </a>
      )}
    </div>
  );
}
