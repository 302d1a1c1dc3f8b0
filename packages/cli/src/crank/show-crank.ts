import {
  firingAngles,
  followerAt,
  Rational,
  Report,
  type ResolvedVariant,
  resolveVariant,
  writeAngle,
} from '@ferrule/engine';
import { callFault, faulty, notAmong, openPack } from '../pack/open-pack.ts';
import { columns } from '../terminal/columns.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { writeResult } from '../terminal/write-result.ts';

export interface CrankCall {
  readonly variant: string;
  readonly format: Format;
  /** A file to draw into; true or `-` for stdout. */
  readonly svg?: string | true;
}

/** The crank of one variant: when each cylinder fires, where each follower stands at each stop, and the rotation plan. */
export async function showCrank(folder: string, options: CrankCall): Promise<ExitCode> {
  const opened = await openPack(folder, options.format, { withoutTrials: true });
  if ('exitCode' in opened) return opened.exitCode;
  const { pack } = opened;
  const wrong = notAmong('variant', options.variant, Object.keys(pack.variants));
  if (wrong !== undefined) return callFault(wrong).exitCode;
  const report = new Report();
  const variant = resolveVariant(pack, options.variant, report);
  if (report.hasErrors) return faulty(folder, opened.reading, report.diagnostics, options.format).exitCode;
  const direction = pack.variants[options.variant]?.['running-direction'];
  const crank = describeCrank(variant);
  if (crank === undefined) {
    return callFault(
      `${options.variant} has no crank data: the pack says neither its firing order nor where its followers are lifted.`,
    ).exitCode;
  }
  if (options.svg !== undefined) {
    const { crankPicture } = await import('@ferrule/print');
    const picture = crankPicture(variant, {
      ...(direction === undefined ? {} : { runningDirection: direction }),
      heading: {
        pack: `${pack.title}, ${pack.pack} ${pack.revision}`,
        ...(pack.notice === undefined ? {} : { notice: pack.notice }),
      },
    });
    return putPicture(options.svg, picture ?? '', options.format);
  }
  if (options.format === 'json') {
    sayJson({ pack: pack.pack, revision: pack.revision, notice: pack.notice, variant: variant.id, ...crank });
    return 0;
  }
  say(wrap(`${variant.title} (${variant.id}), ${pack.title}, revision ${pack.revision}`));
  if (pack.notice !== undefined) say(wrap(pack.notice));
  say('');
  if (direction !== undefined) say(`Running direction: ${direction}`);
  say(writeCrank(variant, crank));
  say('');
  say(wrap(deferral));
  return 0;
}

function putPicture(svg: string | true, picture: string, format: Format): ExitCode {
  if (svg === true || svg === '-') {
    process.stdout.write(picture);
    return 0;
  }
  const failed = writeResult(svg, picture);
  if (failed !== undefined) return failed.exitCode;
  if (format === 'json') sayJson({ file: svg });
  else say(`${svg} written.`);
  return 0;
}

/** The crank as plain data; angles as text in degrees of crankshaft rotation. */
export interface CrankDescription {
  readonly firing: readonly { readonly cylinder: number; readonly at: string }[];
  readonly stops: readonly {
    readonly at: string;
    readonly title: string;
    readonly heldBy?: string;
    readonly followers: readonly {
      readonly bore: number;
      readonly position: 'on-base-circle' | 'on-lobe';
      /** Degrees to the nearer end of the lift. */
      readonly margin: string;
    }[];
  }[];
  readonly rotation?: {
    readonly from: string;
    readonly stops: readonly {
      readonly turnBy: string;
      readonly at: string;
      readonly heldBy?: string;
      readonly bores: readonly number[];
      readonly margin: string;
    }[];
    readonly total: string;
    readonly leastMargin: string;
    readonly accuracy?: string;
  };
}

/** Undefined for a variant without crank data. */
function describeCrank(variant: ResolvedVariant): CrankDescription | undefined {
  const { phasing, crank, bores } = variant;
  if (phasing === undefined) return undefined;
  const angles = firingAngles(phasing);
  const firing = phasing.firingOrder.map((cylinder) => ({
    cylinder,
    at: writeAngle(angles.get(cylinder) ?? Rational.zero),
  }));
  const stops = crank.positions.map(({ at, title, heldBy }) => ({
    at: writeAngle(at),
    title,
    ...(heldBy === undefined ? {} : { heldBy }),
    followers: bores.flatMap((bore) => {
      const follower = followerAt(phasing, bore, at);
      if (follower === undefined) return [];
      const position = follower.onBaseCircle ? ('on-base-circle' as const) : ('on-lobe' as const);
      return [{ bore, position, margin: writeAngle(follower.margin.abs()) }];
    }),
  }));
  return { firing, stops, ...describeRotation(crank) };
}

/** The rotation plan alone; empty for a variant that has none. */
export function describeRotation(crank: ResolvedVariant['crank']): Pick<CrankDescription, 'rotation'> {
  const { rotation, positions, accuracy } = crank;
  if (rotation === undefined) return {};
  const at = (position: Rational) => positions.find((one) => one.at.equals(position));
  return {
    rotation: {
      from: at(rotation.start)?.title ?? writeAngle(rotation.start),
      stops: rotation.stops.map((stop) => {
        const heldBy = at(stop.position)?.heldBy;
        const least = stop.margins.reduce<Rational | undefined>(
          (found, { margin }) => (found === undefined || margin.compare(found) < 0 ? margin : found),
          undefined,
        );
        return {
          turnBy: writeAngle(stop.rotation),
          at: writeAngle(stop.position),
          ...(heldBy === undefined ? {} : { heldBy }),
          bores: stop.bores,
          margin: writeAngle(least ?? Rational.zero),
        };
      }),
      total: writeAngle(rotation.total),
      leastMargin: writeAngle(rotation.leastMargin),
      ...(accuracy === undefined ? {} : { accuracy: writeAngle(accuracy) }),
    },
  };
}

function writeCrank(variant: ResolvedVariant, crank: CrankDescription): string {
  const bores = variant.bores.map((bore) => `bore ${bore}`);
  const stops = crank.stops.filter((stop) => stop.heldBy !== undefined);
  return [
    `Firing order: ${crank.firing.map((one) => one.cylinder).join('-')}`,
    '',
    wrap('Firing TDC of each cylinder, in degrees of crankshaft after that of cylinder 1'),
    columns(
      [
        ['cylinder', ...crank.firing.map((one) => String(one.cylinder))],
        ['fires at', ...crank.firing.map((one) => one.at)],
      ],
      crank.firing.map((_, index) => index + 1),
    ),
    '',
    wrap('Followers at each stop: on the base circle or on the lobe, and how far from the change'),
    columns([
      ['stop', ...bores],
      ...stops.map((stop) => [
        stop.at,
        ...stop.followers.map(
          (one) => `${one.position === 'on-base-circle' ? 'base' : 'LOBE'} ${one.margin}`,
        ),
      ]),
    ]),
    '',
    writeRotation(crank),
  ].join('\n');
}

/** The rotation plan as a table. */
export function writeRotation({ rotation }: Pick<CrankDescription, 'rotation'>): string {
  if (rotation === undefined) return 'The pack plans no rotation for this variant.';
  return [
    wrap(`Rotation plan, from ${rotation.from}, in the running direction`),
    columns(
      [
        ['', 'turn by', 'stop at', 'bores in order', 'margin', 'held by'],
        ...rotation.stops.map((stop, index) => [
          String(index + 1),
          stop.turnBy,
          stop.at,
          stop.bores.join(', '),
          stop.margin,
          stop.heldBy ?? '',
        ]),
      ],
      [1, 2, 4],
    ),
    wrap(
      `Turned in all ${rotation.total}. Least margin ${rotation.leastMargin}${rotation.accuracy === undefined ? '' : `; the crank may stand ${rotation.accuracy} off a stop`}.`,
    ),
  ].join('\n');
}
