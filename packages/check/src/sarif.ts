import { type Diagnostic, diagnosticCodes, type Span } from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import type { CheckReport } from './check-pack.ts';
import { diagnosticKinds } from './diagnostics/index.ts';
import { codeOfProperty } from './report-proof.ts';

/** A folder and what was found in it. */
export interface SarifSubject {
  /** URI of the folder with a slash at its end: relative to where the command was called (itself: empty), or `file:`. */
  readonly base: string;
  readonly report: Pick<CheckReport, 'diagnostics' | 'proofs' | 'positions'>;
}

/** The folder that a relative `base` starts from, under the name that the standard's examples have for it. Its own place is left open, so that a log says nothing of a machine. */
const CALLED_IN = '%SRCROOT%';

/**
 * The diagnostics of packs as a log in SARIF 2.1.0 (OASIS Standard), ready to be written as JSON: one run, with a rule
 * for each code, a result for each diagnostic, and the shortest way to a fault of the proof as its code flow.
 */
export function sarifOf(subjects: readonly SarifSubject[], version: string) {
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Ferrule', version, semanticVersion: version, rules } },
        invocations: [{ executionSuccessful: !subjects.some(isNoPack) }],
        columnKind: 'utf16CodeUnits',
        originalUriBaseIds: {
          [CALLED_IN]: { description: { text: 'The folder in which the command was called.' } },
        },
        results: subjects.flatMap((subject) =>
          subject.report.diagnostics.map((one) => resultOf(one, subject)),
        ),
      },
    ],
  };
}

const isNoPack = ({ report }: SarifSubject): boolean =>
  report.diagnostics.some((one) => one.code === 'missing-folder');

/** Every kind, found or not. There is no `helpUri`, which would have to be an address on the web (clause 3.49.12). */
const rules = diagnosticCodes.map((code) => ({
  id: code,
  shortDescription: { text: diagnosticKinds[code].says },
  help: { text: `What it means and what to do stands in docs/diagnostics/${code}.md.` },
  defaultConfiguration: { level: diagnosticKinds[code].severity },
}));

function resultOf(diagnostic: Diagnostic, subject: SarifSubject) {
  const { code, severity, message, remedy, other = [], pointer } = diagnostic;
  const refutation = refutationOf(diagnostic, subject);
  return {
    ruleId: code,
    ruleIndex: diagnosticCodes.indexOf(code),
    level: severity,
    message: { text: [message, remedy ?? ''].map(sentence).join(' ').trim() },
    locations: [locationOf(subject, diagnostic.span, pointer)].filter((one) => Object.keys(one).length > 0),
    ...(other.length === 0
      ? {}
      : {
          relatedLocations: other.map((place, id) => ({
            id,
            ...locationOf(subject, place.span, place.pointer),
            message: { text: place.message },
          })),
        }),
    // What stays the same when lines move: the kind of fault and the value that it is about.
    partialFingerprints: { 'codeAndPointer/v1': `${code} ${pointer}` },
    ...(refutation === undefined ? {} : { codeFlows: [codeFlowOf(refutation, subject)] }),
  };
}

/** With a full stop at its end (clause 3.11.11). */
const sentence = (text: string): string => text.replace(/[^.!?…]$/, '$&.');

/** A place in a file, with the pointer into the merged document where it has one. */
function locationOf({ base }: SarifSubject, span: Span | undefined, pointer: string) {
  return {
    ...(span === undefined
      ? {}
      : {
          physicalLocation: {
            artifactLocation: artifactOf(base, span.file),
            region: {
              startLine: span.line,
              startColumn: span.column,
              endLine: span.endLine,
              endColumn: span.endColumn,
            },
          },
        }),
    ...(pointer === '' ? {} : { logicalLocations: [{ fullyQualifiedName: pointer }] }),
  };
}

function artifactOf(base: string, file: string) {
  const uri = base + file.split('/').map(encodeURIComponent).join('/');
  return /^[a-z]+:/i.test(base) ? { uri } : { uri, uriBaseId: CALLED_IN };
}

/** Where a job that follows the shortest way stands, step by step, and at last where the fault is. */
function codeFlowOf(refutation: Refutation, subject: SarifSubject) {
  const { positions } = subject.report;
  const steps = refutation.trace.map(({ node, pointer, signal }) => ({
    location: {
      ...locationOf(subject, positions.nearest(pointer), pointer),
      message: { text: `${node}: ${signal.signal}` },
    },
  }));
  const end = 'pointer' in refutation ? refutation : undefined;
  const fault = {
    location: {
      ...(end === undefined ? {} : locationOf(subject, positions.nearest(end.pointer), end.pointer)),
      message: { text: end === undefined ? 'the end of the job' : end.node },
    },
    importance: 'essential',
    state: Object.fromEntries([...refutation.states].map(([name, value]) => [name, { text: value }])),
  };
  return { threadFlows: [{ locations: [...steps, fault] }] };
}

/** What was refuted where a diagnostic speaks of it: at its step, or for the end of a job where it is laid down. */
const refutationOf = ({ code, pointer }: Diagnostic, { report }: SarifSubject): Refutation | undefined =>
  report.proofs
    .flatMap((proof) => proof.exploration.refutations)
    .find(
      (one) =>
        codeOfProperty[one.property] === code &&
        pointer === (one.property === 'ends' ? one.guard.pointer : one.pointer),
    );
