import { useState } from 'preact/hooks';
import { addressOf, goTo } from '../address.ts';
import { call } from '../link/call.ts';
import type {
  AnswerDocument,
  BeginRequest,
  PackDocument,
  PacksDocument,
  Problem,
  ShelvedPack,
} from '../link/documents.ts';
import { makeId } from '../link/make-id.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { InstrumentFields, type InstrumentTyped, instrumentTyped } from '../pieces/instrument-fields.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { rememberInstrument, rememberPerson } from '../pieces/remembered.ts';
import { PeopleToPick, RememberedHere } from '../pieces/remembered-shown.tsx';
import { shelfByName } from '../pieces/shelf-by-name.ts';
import { TextField } from '../pieces/text-field.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { wayOut } from '../pieces/way-out.ts';

/** Beginning a job: which procedure on which engine, who, and with what. */
export function BeginScreen({
  pack,
  revision,
  procedure,
}: {
  readonly pack: string | undefined;
  readonly revision: string | undefined;
  readonly procedure: string | undefined;
}) {
  return pack === undefined || revision === undefined || procedure === undefined ? (
    <ChooseProcedure />
  ) : (
    <SetUp pack={pack} revision={revision} procedure={procedure} />
  );
}

function ChooseProcedure() {
  const { came, again } = useDocument<PacksDocument>('/packs');
  return (
    <>
      <main class="page">
        <h2>What is to be done?</h2>
        {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
        {came?.came === 'away' ? <AwayShown onAgain={again} /> : null}
        {came?.came === 'document' ? <ToBegin packs={came.document.packs} /> : null}
      </main>
      <Deferring
        notice={
          came?.came === 'document'
            ? came.document.packs.find(({ notice }) => notice !== undefined)?.notice
            : undefined
        }
      />
    </>
  );
}

/** What can be begun: by the newest revision of each pack, and on request by an older one. */
function ToBegin({ packs }: { readonly packs: readonly ShelvedPack[] }) {
  const shelf = shelfByName(packs.filter(({ jobs }) => jobs.length > 0));
  const older = shelf.flatMap(([, [, ...rest]]) => rest);
  return (
    <>
      <ProcedureList packs={shelf.flatMap(([, [newest]]) => newest ?? [])} />
      {older.length === 0 ? null : (
        <details class="older">
          <summary>Older revisions</summary>
          <ProcedureList packs={older} />
        </details>
      )}
    </>
  );
}

function ProcedureList({ packs }: { readonly packs: readonly ShelvedPack[] }) {
  return (
    <ul class="job-list">
      {packs.flatMap((pack) =>
        pack.jobs.map(({ procedure, title, variants }) => (
          <li key={`${pack.pack} ${pack.revision} ${procedure}`}>
            <a href={addressOf('begin', pack.pack, pack.revision, procedure)}>
              <strong>{title}</strong>
              <span>{variants.map((one) => one.title).join(', ')}</span>
              <span class="when">
                {pack.title} {pack.revision}, {pack.release.words}
              </span>
            </a>
          </li>
        )),
      )}
    </ul>
  );
}

function SetUp({
  pack,
  revision,
  procedure,
}: {
  readonly pack: string;
  readonly revision: string;
  readonly procedure: string;
}) {
  const path = `/packs/${encodeURIComponent(pack)}/${encodeURIComponent(revision)}`;
  const { came, again } = useDocument<PackDocument>(path);
  if (came?.came === 'problem' || came?.came === 'away')
    return (
      <>
        <main class="page">
          {came.came === 'away' ? (
            <AwayShown onAgain={again} />
          ) : (
            <ProblemShown problem={came.problem} wayOut={wayOut} onAgain={again} />
          )}
        </main>
        <Deferring />
      </>
    );
  if (came === undefined) return <main class="page" aria-busy="true" />;
  return (
    <>
      <SetUpForm document={came.document} procedure={procedure} />
      <Deferring
        deferral={came.document.deferral}
        notice={came.document.notice}
        pack={`${came.document.title ?? pack} ${revision}, ${came.document.release.words}`}
      />
    </>
  );
}

function SetUpForm({ document, procedure }: { readonly document: PackDocument; readonly procedure: string }) {
  const of = document.jobs.find((one) => one.procedure === procedure);
  const needs = document.needs[procedure];
  const [id] = useState(makeId);
  const [variant, setVariant] = useState(of?.variants.length === 1 ? (of.variants[0]?.variant ?? '') : '');
  const [people, setPeople] = useState<Readonly<Record<string, string>>>({});
  const [instruments, setInstruments] = useState<Readonly<Record<string, InstrumentTyped>>>({});
  const [problem, setProblem] = useState<Problem>();
  const [isAway, setAway] = useState(false);
  if (of === undefined || needs === undefined)
    return (
      <main class="page">
        <p class="empty">This pack has no procedure {procedure} that is a job of its own.</p>
      </main>
    );
  const begin = async (): Promise<void> => {
    const persons = needs.roles.flatMap((role) => {
      const person = (people[role.id] ?? '').trim();
      return person === '' ? [] : [{ role: role.id, person }];
    });
    const named = needs.instruments.flatMap(
      ({ id: kind }) => instrumentTyped(kind, instruments[kind] ?? {}) ?? [],
    );
    const request: BeginRequest = {
      ...{ id, by: persons[0]?.person ?? '', pack: document.pack, revision: document.revision },
      ...{ procedure, variant, persons, instruments: named },
    };
    const came = await call<AnswerDocument>('/jobs', request);
    setAway(came.came === 'away');
    setProblem(came.came === 'problem' ? came.problem : undefined);
    if (came.came !== 'document') return;
    for (const { person, role } of persons) rememberPerson(person, role);
    for (const one of named) rememberInstrument(one);
    goTo(addressOf('job', came.document.job));
  };
  return (
    <main class="page">
      <form
        class="set-up"
        onSubmit={(event) => {
          event.preventDefault();
          void begin();
        }}
      >
        <h2>{of.title}</h2>
        <fieldset class="answers variants">
          <legend>Engine</legend>
          {of.variants.map((one) => (
            <label key={one.variant} class="answer">
              <input
                type="radio"
                name="variant"
                required
                checked={variant === one.variant}
                onChange={() => setVariant(one.variant)}
              />
              <span>{one.title}</span>
            </label>
          ))}
        </fieldset>
        <fieldset>
          <legend>Who</legend>
          {needs.roles.map((role) => (
            <div key={role.id} class="person">
              <TextField
                label={role.needed ? role.title : `${role.title} (if there is one)`}
                value={people[role.id] ?? ''}
                isRequired={role.needed}
                onValue={(person) => setPeople({ ...people, [role.id]: person })}
              />
              <PeopleToPick
                role={role.id}
                but={Object.values(people)}
                onPick={(person) => setPeople({ ...people, [role.id]: person })}
              />
            </div>
          ))}
        </fieldset>
        {needs.instruments.length === 0 ? null : (
          <fieldset>
            <legend>With</legend>
            <p class="entry-hint">
              What has to be calibrated is named before the job begins. What else is left empty is asked for
              when it is used.
            </p>
            {needs.instruments.map(({ id: kind, title, calibrated, needed }) => (
              <InstrumentFields
                key={kind}
                kind={kind}
                title={title}
                calibrated={calibrated}
                isRequired={needed}
                typed={instruments[kind] ?? {}}
                onTyped={(typed) => setInstruments({ ...instruments, [kind]: typed })}
              />
            ))}
          </fieldset>
        )}
        {isAway ? (
          <p class="refusals" role="alert">
            The server is not reached. A job is begun where it is stored; try again when it is reached.
          </p>
        ) : null}
        {problem === undefined ? null : problem.refusals === undefined ? (
          <ProblemShown problem={problem} onAgain={() => void begin()} />
        ) : (
          <div role="alert">
            <ul class="refusals">
              {problem.refusals.map(({ message, remedy }) => (
                <li key={message}>
                  <p>{message}</p>
                  <p class="remedy">{remedy}</p>
                </li>
              ))}
            </ul>
          </div>
        )}
        <button type="submit" class="main">
          Begin
        </button>
      </form>
      <RememberedHere />
    </main>
  );
}
