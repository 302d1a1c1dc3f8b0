import { type CheckReport, codeOfProperty, faultsOf, type Proof, type ShownFault } from '@ferrule/check';
import { diagnosticCodes, type Pack, type Plan, resolve } from '@ferrule/engine';
import { placeTitle, tellWay, watchedCells, wayOut, whatFails } from '@ferrule/print';
import { canonical } from '@ferrule/signing';
import type { OverlayNamed } from '../packs/beside-pack.ts';
import type { TypeOf } from '../schema.ts';
import type { checkDocument } from './examination-documents.ts';
import { type Guarantee, guaranteeOf, guarantees, standingOf } from './guarantees.ts';
import { leftAside, leftOpen } from './left-open.ts';
import { Places } from './places.ts';
import { signalsInPlan } from './signals-in-plan.ts';

type Checked = TypeOf<typeof checkDocument>;
type Fault = Checked['faults'][number];

/** What a check has found, as the document says it. `folder` is that of the pack; `laid` is laid over it. */
export function checkAnswer(
  folder: string,
  report: CheckReport,
  laid: OverlayNamed | undefined,
): Pick<Checked, 'looked' | 'findings' | 'procedures' | 'faults'> {
  const { diagnostics, files, pack, positions, proofs } = report;
  const places = new Places(folder, positions, files, laid);
  const shown = pack === undefined ? [] : faultsOf(pack, proofs);
  const faults = pack === undefined ? [] : faultsIn(pack, shown, places);
  const faultAt = new Map<string, number>(
    shown.map(({ refutation: one }, index) => {
      const pointer = one.property === 'ends' ? one.guard.pointer : one.pointer;
      return [`${codeOfProperty[one.property]} ${pointer}`, index] as const;
    }),
  );
  return {
    looked: {
      files: places.files,
      kinds: diagnosticCodes.length,
      isProved: proofs.length > 0,
    },
    findings: diagnostics.map(({ code, severity, pointer, message, remedy, span, other = [] }) => ({
      ...{ code, severity, message },
      ...(remedy === undefined ? {} : { remedy }),
      ...(span === undefined ? {} : { place: places.withLine(span) }),
      ...faulted(faultAt.get(`${code} ${pointer}`)),
      other: other.map((one) => ({
        message: one.message,
        ...(one.span === undefined ? {} : { place: places.withLine(one.span) }),
      })),
    })),
    procedures: pack === undefined ? [] : proceduresIn(pack, report, faults),
    faults,
  };
}

/** In a list a title needs no quotation marks. */
const listed = (title: string): string => title.replace(/^"(.*)"/, '$1');

const faulted = (fault: number | undefined) => (fault === undefined ? {} : { fault });

function faultsIn(pack: Pack, shown: readonly ShownFault[], places: Places): readonly Fault[] {
  // Whoever goes a way makes its plan from the bundle.
  const bundled: Pack = JSON.parse(canonical(pack));
  return shown.map(({ plan, refutation, counterexample, variants, bores }): Fault => {
    const inBundle = resolve(bundled, { procedure: plan.procedure.id, variant: plan.variant.id }).plan;
    const told = tellWay(plan, pack, counterexample);
    const { visits, last } = told;
    const law = 'guard' in refutation ? places.at(refutation.guard.pointer) : undefined;
    const placeAt = (pointer: string): string => {
      const span = places.at(pointer);
      return span === undefined ? '' : ` ${span.file}:${span.line}`;
    };
    return {
      procedure: plan.procedure.id,
      variant: plan.variant.id,
      ...{ variants, bores, guarantee: guaranteeOf[refutation.property] },
      means: whatFails(plan, pack, refutation, last),
      ...(law === undefined ? {} : { law: places.withLine(law) }),
      ...('node' in refutation && refutation.node !== '' ? { node: refutation.node } : {}),
      watched: [...new Set(watchedCells(plan, refutation))].flatMap((cell) => plan.cells[cell]?.name ?? []),
      signals: signalsInPlan(counterexample.signals, plan, inBundle ?? plan),
      visits: visits.map(({ node, title, happens, changes, course, until }) => {
        const place = node === undefined ? undefined : places.at(node.pointer);
        return {
          ...(node === undefined ? {} : { node: node.path }),
          ...{ title: listed(node === undefined ? title : placeTitle(plan, node.index, Infinity)) },
          ...{ happens, changes, course, until },
          ...(place === undefined ? {} : { place }),
        };
      }),
      ...wayOut({ plan, pack, refutation, counterexample }, told, placeAt),
    };
  });
}

function proceduresIn(
  pack: Pack,
  { proofs, diagnostics }: CheckReport,
  faults: readonly Fault[],
): Checked['procedures'] {
  const byProcedure = new Map<string, { readonly proof: Proof; readonly plan: Plan }[]>();
  for (const proof of proofs) {
    const { plan } = resolve(pack, proof);
    if (plan === undefined) continue;
    byProcedure.set(proof.procedure, [...(byProcedure.get(proof.procedure) ?? []), { proof, plan }]);
  }
  return [...byProcedure].map(([procedure, all]) => {
    const plans = all.map(({ plan }) => plan);
    const pointers = new Set(plans.flatMap(({ nodes }) => nodes.map(({ pointer }) => pointer)));
    const isLost = diagnostics.some(({ code, pointer }) => code === 'unreachable' && pointers.has(pointer));
    const hasParking = plans.some(({ parking }) => parking !== undefined);
    const names = (Object.keys(guarantees) as Guarantee[]).filter(
      (one) => one !== 'can-be-left' || hasParking,
    );
    return {
      procedure,
      title: plans[0]?.procedure.title ?? procedure,
      variants: all.map(({ proof, plan }) => variantOf(proof, plan)),
      guarantees: names.map((guarantee) => ({
        guarantee,
        says: guarantees[guarantee],
        standing: Object.fromEntries(
          all.map(({ proof }) => [proof.variant, standingOf(guarantee, proof.exploration, isLost)]),
        ),
        faults: faults.flatMap((one, index) =>
          one.procedure === procedure && one.guarantee === guarantee ? [index] : [],
        ),
      })),
      free: leftOpen(plans),
      aside: leftAside(plans),
    };
  });
}

const variantOf = ({ variant, steps, exploration, statesAt, milliseconds }: Proof, plan: Plan) => ({
  ...{ variant, title: plan.variant.title, steps },
  states: exploration.states,
  strikes: exploration.strikes,
  milliseconds: Math.round(milliseconds),
  isCutShort: exploration.cutShort,
  statesAt: Object.fromEntries(statesAt),
  // A fault on the way hides what lies behind it.
  unreached: exploration.refutations.length > 0 || exploration.cutShort ? [] : exploration.unreached,
});
