import { counted } from './counted.ts';
import type { CheckDocument, Finding, Severity } from './examination.ts';
import { LineMark, type LineMarked } from './line-mark.tsx';
import { packAddress } from './pack-address.ts';
import { LineShown, PlaceNamed } from './place-shown.tsx';

const marks = { error: 'broken', warning: 'kinked', note: 'beside' } as const satisfies Readonly<
  Record<Severity, LineMarked>
>;

/** What is wrong with a pack, file by file; where nothing is, what was looked at. */
export function FindingsShown({ document }: { readonly document: CheckDocument }) {
  const { findings, looked } = document;
  const files = [...new Set(findings.map(({ place }) => place?.file ?? ''))];
  return (
    <>
      <p class="sum">{sumOf(findings)}</p>
      {files.map((file) => (
        <section key={file} class="file-findings">
          <h2 class="file-name">{file === '' ? 'The pack as a whole' : file}</h2>
          <ol class="findings">
            {findings
              .filter(({ place }) => (place?.file ?? '') === file)
              .map((finding, index) => (
                <FindingShown key={index} finding={finding} document={document} />
              ))}
          </ol>
        </section>
      ))}
      <section class="looked-at">
        <h2>What was looked at</h2>
        <ul class="plain-list">
          <li>
            {looked.isProved
              ? `${counted(looked.kinds, 'kind', 'kinds')} of faults: files and form, names, types and units, limits and instruments, hazards, states and laws.`
              : 'Its files, as far as what is wrong in them lets one see. There may be more to find behind it.'}
          </li>
          <li>
            {looked.isProved
              ? `Every way through ${document.procedures
                  .map(
                    ({ title, variants }) =>
                      `“${title}” for ${counted(variants.length, 'engine', 'engines')}`,
                  )
                  .join(', ')}.`
              : 'Nothing is proved before that is put right.'}
          </li>
        </ul>
        <details class="looked-files">
          <summary>{counted(looked.files.length, 'file', 'files')}</summary>
          <ul class="plain-list place-list">
            {looked.files.map((file) => (
              <li key={file}>{file}</li>
            ))}
          </ul>
        </details>
      </section>
    </>
  );
}

function FindingShown({
  finding,
  document,
}: {
  readonly finding: Finding;
  readonly document: CheckDocument;
}) {
  const { severity, code, message, remedy, place, other, fault } = finding;
  return (
    <li class={`finding finding-${severity}`}>
      <p class="finding-head">
        <LineMark line={marks[severity]} />
        <strong>{severity}</strong>
        <span class="code">{code}</span>
        <PlaceNamed place={place} />
      </p>
      <p class="finding-says">{message}</p>
      <LineShown place={place} />
      {remedy === undefined ? null : <p class="remedy">{remedy}</p>}
      {other.map((one, index) => (
        <div key={index} class="other-place">
          <p>
            {one.message} <PlaceNamed place={one.place} />
          </p>
          <LineShown place={one.place} />
        </div>
      ))}
      {fault === undefined ? null : (
        <a class="second" href={packAddress(document, 'way', String(fault + 1))}>
          Go the way there, step by step
        </a>
      )}
    </li>
  );
}

function sumOf(findings: readonly Finding[]): string {
  if (findings.length === 0) return 'Nothing was found wrong.';
  const of = (severity: Severity): number => findings.filter((one) => one.severity === severity).length;
  return [
    counted(of('error'), 'error', 'errors'),
    ...(of('warning') === 0 ? [] : [counted(of('warning'), 'warning', 'warnings')]),
    ...(of('note') === 0 ? [] : [counted(of('note'), 'note', 'notes')]),
  ].join(', ');
}
