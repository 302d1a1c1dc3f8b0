import { needs } from '../bump/needs.ts';
import { changeClasses, changeClassNames } from '../change.ts';
import { cutShortNotice, otherTrialResult, otherTrialRule, permittedIn } from './behaviour-sarif.ts';
import type {
  ComparedChange,
  ComparedPermitted,
  ComparedStated,
  ComparisonDocument,
} from './generated/comparison-document.ts';

/** The folder that a relative URI starts from, under the name that the standard's examples have for it. */
const CALLED_IN = '%SRCROOT%';

/** URIs of the two folders with a slash at the end; relative to where the command was called, or `file:`. */
export interface SarifBases {
  readonly before: string;
  readonly after: string;
}

/**
 * A comparison as a log in SARIF 2.1.0 (OASIS Standard), ready to be written as JSON: a rule for each class of change, a result
 * for each change. It stands where the newer revision says it, or where the older one said it; the other place is related.
 * What protects less is a warning, and what the revision does not own up to is an error. The way to what a change lets happen is a
 * code flow (clause 3.36), and each trial of the older revision that comes out otherwise a result of its own.
 */
export function comparisonSarif(document: ComparisonDocument, bases: SarifBases, version: string) {
  const rules = [
    ...Object.entries(changeClasses).map(([id, says]) => ({
      id,
      shortDescription: { text: says },
      help: { text: needs[isClass(id) ? id : 'changed'].because },
      defaultConfiguration: { level: 'note' },
    })),
    {
      id: NOT_TOLD,
      shortDescription: { text: 'The revision or its changelog does not own up to a change.' },
      help: {
        text: 'docs/auditors-guide.md says what asks for which number, and what a changelog has to tell.',
      },
      defaultConfiguration: { level: 'error' },
    },
    otherTrialRule,
  ];
  const { behaviour } = document;
  const silent = [
    ...(document.bump.fits ? [] : [{ says: document.bump.says }]),
    ...document.account.findings,
  ];
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Ferrule', version, semanticVersion: version, rules } },
        invocations: [
          { executionSuccessful: true, ...(behaviour === undefined ? {} : cutShortNotice(behaviour)) },
        ],
        columnKind: 'utf16CodeUnits',
        originalUriBaseIds: {
          [CALLED_IN]: { description: { text: 'The folder in which the command was called.' } },
        },
        results: [
          ...document.changes.map((one, place) =>
            resultOf(
              one,
              bases,
              behaviour?.permits.find(({ change }) => change === place),
            ),
          ),
          ...silent.map((one) => ({
            ruleId: NOT_TOLD,
            ruleIndex: rules.length - 2,
            level: 'error',
            message: { text: one.says },
            locations: 'change' in one ? locationsOf(document.changes[one.change ?? -1], bases) : [],
          })),
          ...(behaviour?.trials.others ?? []).map((one) => otherTrialResult(one, rules.length - 1)),
        ],
        properties: {
          before: document.before,
          after: document.after,
          deferral: document.deferral,
          says: document.says,
          ...(behaviour === undefined ? {} : { behaviour: behaviour.says }),
        },
      },
    ],
  };
}

const NOT_TOLD = 'not-told';

const isClass = (id: string): id is keyof typeof changeClasses => Object.hasOwn(changeClasses, id);

function resultOf(change: ComparedChange, bases: SarifBases, permitted: ComparedPermitted | undefined) {
  const { change: ruleId, effect, says, before, after, kind, name, key, needs: level, weight } = change;
  const { codeFlows, permits } = permitted === undefined ? {} : permittedIn(permitted);
  return {
    ruleId,
    ruleIndex: changeClassNames.indexOf(ruleId),
    level: effect === 'weaker' ? 'warning' : 'note',
    message: { text: says },
    locations: locationsOf(change, bases),
    ...(before === undefined || after === undefined
      ? {}
      : {
          relatedLocations: [{ id: 0, ...locationOf(bases.before, before), message: { text: 'As it was.' } }],
        }),
    partialFingerprints: { 'changeAndName/v1': [ruleId, kind, name, key ?? ''].join(' ') },
    ...(codeFlows === undefined ? {} : { codeFlows }),
    properties: {
      ...{ weight, needs: level },
      ...(effect === undefined ? {} : { effect }),
      ...(permits === undefined ? {} : { permits }),
    },
  };
}

function locationsOf(change: ComparedChange | undefined, bases: SarifBases) {
  const { before, after } = change ?? {};
  if (after !== undefined) return [locationOf(bases.after, after)];
  return before === undefined ? [] : [locationOf(bases.before, before)];
}

function locationOf(base: string, { place, pointer }: ComparedStated) {
  return {
    ...(place === undefined
      ? {}
      : {
          physicalLocation: {
            artifactLocation: artifactOf(base, place.file),
            region: { startLine: place.line, startColumn: place.column },
          },
        }),
    ...(pointer === '' ? {} : { logicalLocations: [{ fullyQualifiedName: pointer }] }),
  };
}

function artifactOf(base: string, file: string) {
  const uri = base + file.split('/').map(encodeURIComponent).join('/');
  return /^[a-z]+:/i.test(base) ? { uri } : { uri, uriBaseId: CALLED_IN };
}
