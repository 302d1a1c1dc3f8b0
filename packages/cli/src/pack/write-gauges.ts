import type { Gauge } from '@ferrule/check';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';

/** In one sentence: how many tolerances can be judged with the instruments that are asked for, and which cannot. */
export function sumUpGauges(gauges: readonly Gauge[]): readonly string[] {
  if (gauges.length === 0) return [];
  const short = gauges.filter(({ sufficiency }) => isShort.has(sufficiency));
  const rated = gauges.flatMap(({ capability, tolerance }) =>
    capability === undefined ? [] : [{ index: Number(capability), capability, tolerance }],
  );
  const least = rated.reduce<(typeof rated)[number] | undefined>(
    (low, one) => (low === undefined || one.index < low.index ? one : low),
    undefined,
  );
  const open = gauges.filter(({ sufficiency }) => sufficiency === 'depends').length;
  const rest =
    open === 0
      ? ''
      : `; ${open === 1 ? 'one hangs' : `${open} hang`} on limits that are worked out from readings`;
  const written = new Set(gauges.map(({ pointer }) => pointer)).size;
  const which = ['the one tolerance', 'both tolerances'][written - 1] ?? `all ${written} tolerances`;
  const all = written === gauges.length ? which : `${which}, with the limits of every variant,`;
  const says =
    short.length === 0
      ? `${open === 0 ? all : `${gauges.length - open} of ${gauges.length} tolerances`} can be judged with the instruments that are asked for${rest}`
      : `${short.length} of ${gauges.length} tolerances cannot be judged well: ${[...new Set(short.map((one) => one.tolerance))].join(', ')}${rest}`;
  const lowest =
    least === undefined ? '' : `; the lowest index is ${least.capability}, of ${least.tolerance}`;
  return [wrap(`${says}${lowest}. --gauges lists them.`, 'gauges  ')];
}

/** Every tolerance that is measured, with its instrument, its uncertainty and whether the one suffices for the other. */
export function writeGauges(
  gauges: readonly Gauge[],
  variants: number,
  hasErrors: boolean,
): readonly string[] {
  if (gauges.length === 0 && hasErrors)
    return ['Which instrument judges what is listed once there is no error any more.'];
  const measured = gauges.filter(({ sufficiency }) => sufficiency !== 'counted');
  const counted =
    new Set(gauges.map(({ pointer }) => pointer)).size - new Set(measured.map(({ pointer }) => pointer)).size;
  const rows = measured.map((gauge) => [
    gauge.tolerance,
    unfolded(gauge.limits),
    gauge.instruments.join(', '),
    unfolded(gauge.expandedUncertainty ?? '–'),
    gauge.capability ?? '–',
    inWords(gauge),
    gauge.variants.length === variants ? '' : gauge.variants.join(', '),
  ]);
  const isSplit = rows.some((row) => row.at(-1) !== '');
  const heading = ['tolerance', 'limits', 'instrument', 'U', 'C_m', 'judged', 'for'];
  return [
    ...(rows.length === 0
      ? ['Nothing is measured.']
      : [
          columns(
            [heading, ...rows].map((row) => (isSplit ? row : row.slice(0, -1))),
            [4],
          ),
          '',
        ]),
    ...(counted === 0
      ? []
      : [wrap(`${counted} more ${counted === 1 ? 'is' : 'are'} counted, which needs no instrument.`)]),
    ...(rows.length === 0
      ? []
      : [
          wrap(
            'U is the expanded uncertainty that such instruments give, C_m the width of the limits by twice of it (JCGM 106, 7.6). From 10 on it is judged easily; from what the tolerance asks for on, 4 if it does not say, well; below that coarsely. With one limit, the value is said from which on a reading proves something.',
          ),
        ]),
  ];
}

const unfolded = (text: string): string => text.replaceAll(' ', '\u00a0');
const isShort: ReadonlySet<Gauge['sufficiency']> = new Set(['coarse', 'cannot-judge', 'unknown']);

function inWords({ sufficiency, proves, provesNothing, asked, only }: Gauge): string {
  switch (sufficiency) {
    case 'comfortable':
      return 'easily';
    case 'sufficient':
      return 'well';
    case 'coarse':
      return `coarsely, ${asked} is asked for`;
    case 'cannot-judge':
      return 'never';
    case 'one-limit':
      if (provesNothing === true) return 'one limit, and no plausible value proves anything';
      if (proves === undefined) return 'one limit';
      return `${only === 'upper' ? 'up to' : 'from'}\u00a0${unfolded(proves)}`;
    case 'unknown':
      return 'unknown, no error is stated';
    case 'counted':
      return 'counted';
    case 'depends':
      return 'by limits that are worked out';
  }
}
