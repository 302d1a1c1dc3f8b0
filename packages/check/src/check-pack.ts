import {
  compareDiagnostics,
  type Diagnostic,
  type DiagnosticCode,
  type Pack,
  type Plan,
  pointerTo,
  Report,
  resolve,
} from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { validate } from '@ferrule/engine/validate';
import type { Policy, ReleaseState } from '@ferrule/signing';
import { bundleOf, type PackFile, type Positions, readNeighbours, readPack } from '@ferrule/source';
import { type CheckedLibrary, checkLibrary, libraryNamed } from './check-library.ts';
import { Counterexamples } from './counterexample.ts';
import { diagnosticKinds } from './diagnostics/index.ts';
import { examine } from './examine.ts';
import { type Gauge, gaugesOf } from './gauges.ts';
import { jobVariants } from './job-variants.ts';
import type { Proof } from './proof.ts';
import type { ProvenPlans } from './proven-plans.ts';
import { namedElsewhere, reportNeighbours } from './report-neighbours.ts';
import { reportParking, reportProofs, reportUnreached } from './report-proof.ts';
import { reportTrials } from './report-trials.ts';

export interface CheckReport {
  readonly pack?: Pack;
  /** Instead of a pack, where the folder is that of a library. */
  readonly library?: CheckedLibrary;
  /** Digest of the bundle; there when the pack could be read. */
  readonly digest?: string;
  /** How the pack or the library was released, and the overlay; nothing for a folder that was not. */
  readonly release?: ReleaseState;
  readonly overlayRelease?: ReleaseState;
  /** Sorted by position, each with the span that it speaks of. */
  readonly diagnostics: readonly Diagnostic[];
  readonly proofs: readonly Proof[];
  /** Whether each tolerance can be judged with the instruments that are asked for; there when its jobs could be resolved. */
  readonly gauges: readonly Gauge[];
  readonly files: readonly PackFile[];
  /** Where the steps of a way through the pack stand in its files. */
  readonly positions: Positions;
}

export interface CheckOptions {
  /** The folder of an overlay that is laid over the pack. */
  readonly overlay?: string;
  /** Says whose signatures count, and for what. */
  readonly policy?: Policy | undefined;
  /** Leave out the proof. */
  readonly withoutProof?: boolean;
  /** Run the trials too, when nothing else is wrong, and report those that fail. */
  readonly withTrials?: boolean;
  /** Most states that one exploration may hold. */
  readonly mostStates?: number;
  /** Most milliseconds that the proofs of a pack may take together; MOST_PROOF_TIME if not said. */
  readonly mostTime?: number;
  /** Proofs of the last check, for who checks the same pack again and again. */
  readonly proven?: ProvenPlans;
  /** Told which proof begins, after how many, and how many there are. */
  readonly onProof?: (procedure: string, variant: string, done: number, of: number) => void;
}

/** Whoever waits longer for a check no longer waits. */
const MOST_PROOF_TIME = 60_000;

/**
 * Checks a pack folder: its files, its form, its names, types and units, and, when these are right, proves each of its
 * jobs for each variant. A job is a procedure that no other one performs and that takes nothing. The folder of a library is
 * held against the format alone.
 */
export async function checkPack(folder: string, options: CheckOptions = {}): Promise<CheckReport> {
  const { policy } = options;
  const read = await readPack(
    folder,
    options.overlay === undefined ? { policy } : { policy, overlay: options.overlay },
  );
  const finish = (
    found: readonly Diagnostic[],
    more: Partial<Pick<CheckReport, 'pack' | 'library' | 'digest' | 'proofs' | 'gauges'>>,
  ): CheckReport => ({
    proofs: [],
    gauges: [],
    ...more,
    files: read.files,
    positions: read.positions,
    ...(read.release === undefined ? {} : { release: read.release }),
    ...(read.overlayRelease === undefined ? {} : { overlayRelease: read.overlayRelease }),
    diagnostics: place(
      [
        ...outsidePolicy(read.release, ''),
        ...outsidePolicy(read.overlayRelease, read.overlay ?? ''),
        ...read.diagnostics.filter(isMeant),
        ...found,
      ],
      read.positions,
    ).filter((one) => isOfPack(one, read.overlay)),
  });
  // A library is read like a pack without its pack.yaml.
  const isLibrary = libraryNamed(read.document) !== undefined;
  const isMeant = ({ code }: Diagnostic): boolean =>
    !(isLibrary && code === 'missing-manifest' && options.overlay === undefined);
  if (isLibrary) {
    const { diagnostics, ...checked } = checkLibrary(read.document);
    return finish(diagnostics, checked);
  }
  const isHidden = (one: Diagnostic): boolean =>
    read.diagnostics.some((source) => source.pointer === one.pointer);
  const validated = validate(read.document);
  // A file that could not be read leaves things out, and what is missing for that reason is not reported again.
  const isBroken = read.diagnostics.some((one) => one.severity === 'error');
  if (validated.pack === undefined) {
    return finish(
      validated.diagnostics.filter((one) => !isHidden(one) && !(isBroken && one.code === 'missing-key')),
      {},
    );
  }
  const { pack } = validated;
  if (isBroken) return finish([], { pack });
  const digest = bundleOf(read.document).digest;
  const report = new Report();
  const plans = plansOf(pack, report);
  examine({ pack, plans, report }, 'written');
  if (isAtFault(report)) return finish(report.diagnostics, { pack, digest });
  examine({ pack, plans, report }, 'resolved');
  const gauges = gaugesOf(plans);
  if (isAtFault(report)) return finish(report.diagnostics, { pack, digest, gauges });
  const elsewhere = namedElsewhere(pack);
  if (elsewhere.length > 0) {
    const asked = elsewhere.map((one) => one.pack);
    reportNeighbours(pack, plans, await readNeighbours(folder, pack, asked), report);
  }
  const proofs: Proof[] = [];
  const ways = new Counterexamples(digest);
  const until = performance.now() + (options.mostTime ?? MOST_PROOF_TIME);
  const isOver = (): boolean => performance.now() > until;
  const prove = (plan: Plan): Proof => {
    options.onProof?.(plan.procedure.id, plan.variant.id, proofs.length, plans.length);
    const statesAt = new Map<string, number>();
    const began = performance.now();
    const exploration = explore(plan, {
      isOver,
      onReach: ({ at }) => {
        const pointer = plan.nodes[at]?.pointer;
        if (pointer !== undefined) statesAt.set(pointer, (statesAt.get(pointer) ?? 0) + 1);
      },
      ...(options.mostStates === undefined ? {} : { mostStates: options.mostStates }),
    });
    return {
      procedure: plan.procedure.id,
      variant: plan.variant.id,
      steps: plan.nodes.filter((node) => node.node === 'step').length,
      exploration,
      statesAt,
      milliseconds: performance.now() - began,
      counterexamples: exploration.refutations.map((one) => ways.of(plan, one)),
    };
  };
  for (const plan of options.withoutProof === true ? [] : plans)
    proofs.push(options.proven?.of(plan, () => prove(plan)) ?? prove(plan));
  reportProofs(plans, proofs, report);
  reportParking(plans, proofs, report);
  if (options.withoutProof !== true) reportUnreached(plans, proofs, report);
  if (options.withTrials === true && !report.hasErrors) reportTrials(pack, digest, report);
  return finish(report.diagnostics, { pack, digest, proofs, gauges });
}

/** Errors that may be only what follows from a step somewhere else, which the proof tells. */
const provedAllTheSame: ReadonlySet<DiagnosticCode> = new Set(['rework-leaves-state', 'taken-in-a-loop']);

/**
 * Whether the plans have errors with which it makes no sense to prove them. A trial that names what is no longer there says
 * nothing against a procedure, and what a rework seems to leave behind may have been left by a step before.
 */
const isAtFault = (report: Report): boolean =>
  report.diagnostics.some(
    ({ severity, code, pointer }) =>
      severity === 'error' && !provedAllTheSame.has(code) && !pointer.startsWith('/trials/'),
  );

/** The jobs of a pack: procedures that no other one performs and that take nothing; all of them if there is none. */
export function jobsOf(pack: Pack): readonly string[] {
  const performed = new Set<string>();
  const waiting: unknown[] = [pack.procedures, pack.holds ?? {}];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (typeof next !== 'object' || next === null) continue;
    if ('perform' in next && typeof next.perform === 'string') performed.add(next.perform);
    for (const inside of Object.values(next)) waiting.push(inside);
  }
  const names = Object.keys(pack.procedures);
  const jobs = names.filter((name) => !performed.has(name) && pack.procedures[name]?.takes === undefined);
  return jobs.length > 0 ? jobs : names;
}

/**
 * Steps and tracked states in all plans of a pack together, with a share for each plan: ten times what a large pack has, and
 * no more than can be looked through in a second.
 */
const MOST_IN_PLANS = 150_000;
const SHARE_OF_PLAN = 50;

function plansOf(pack: Pack, report: Report): readonly Plan[] {
  const plans: Plan[] = [];
  let size = 0;
  for (const procedure of jobsOf(pack)) {
    for (const variant of jobVariants(pack, procedure)) {
      // What further plans would add to very many faults is not shown.
      if (report.isFull) return plans;
      if (size > MOST_IN_PLANS) {
        const message = `Written out for each variant, the procedures have more than ${MOST_IN_PLANS} steps and states; ${procedure} for ${variant} and what follows is not looked at.`;
        report.add('too-many-steps', pointerTo('/procedures', procedure), message, {
          remedy: 'Split the pack.',
        });
        return plans;
      }
      const resolved = resolve(pack, { procedure, variant }, report);
      size += SHARE_OF_PLAN + resolved.size;
      if (resolved.plan !== undefined) plans.push(resolved.plan);
    }
  }
  return plans;
}

/**
 * That a pack does not use all that a library says of a thing which it takes is no fault, nor that an overlay has left
 * something of the pack without use; that it does not use what it declares itself is one.
 */
const isOfPack = ({ code, span }: Diagnostic, overlay: string | undefined): boolean =>
  code !== 'unused-name' ||
  (overlay === undefined ? span?.file.startsWith('../') !== true : span?.file.startsWith(overlay) === true);

function place(diagnostics: readonly Diagnostic[], positions: Positions): readonly Diagnostic[] {
  const placed = diagnostics.map((one): Diagnostic => {
    const span = one.span ?? spanOf(one, positions);
    const other = one.other?.map((place) => {
      const at = place.span ?? positions.nearest(place.pointer);
      return at === undefined ? place : { ...place, span: at };
    });
    return { ...one, ...(span === undefined ? {} : { span }), ...(other === undefined ? {} : { other }) };
  });
  return placed.sort(compareDiagnostics);
}

/** What a policy has against a release; only a warning while nothing but an approval is still to come. */
function outsidePolicy(release: ReleaseState | undefined, at: string): readonly Diagnostic[] {
  if (release?.state !== 'signed' || release.outside === undefined) return [];
  const waits = release.awaitsApproval === true;
  return [
    {
      code: 'release-outside-policy',
      severity: waits ? 'warning' : 'error',
      pointer: '',
      span: { file: `${at}release.json`, line: 1, column: 1, endLine: 1, endColumn: 1 },
      message: `This release is not one that the policy allows. ${release.outside}`,
      remedy: waits
        ? 'Have it approved, with release --approve.'
        : 'Have it released by those whom the policy names; until then it is worked by as if it were unsigned.',
    },
  ];
}

/** A fault of a name stands on its key, any other on the value; a value that is not there, on what is around it. */
function spanOf(diagnostic: Diagnostic, positions: Positions) {
  const isOnKey = (diagnostic.marks ?? diagnosticKinds[diagnostic.code].marks) === 'key';
  const key = isOnKey ? positions.key(diagnostic.pointer) : undefined;
  return key ?? positions.nearest(diagnostic.pointer);
}
