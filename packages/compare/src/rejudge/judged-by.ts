import { findEntry, type Plan, type PlanSelection, type PlanTolerance, Rational } from '@ferrule/engine';

/** What a verdict depends on besides the readings. */
const judgedParts = ['limits', 'rule', 'value', 'reading', 'instrument', 'stock'] as const;
export type JudgedPart = (typeof judgedParts)[number];

/** How what a plan names is called in the revision that both plans are put into. */
export interface Named {
  readonly entry: (name: string) => string;
  /** What is judged: a tolerance, an answer, a serial number, a choice from stock. */
  readonly judged: (name: string) => string;
  readonly instrument: (id: string) => string;
  readonly step: (path: string) => string;
}

/** A text for each part: two tolerances with the same texts give the same verdict on the same readings. */
export type JudgedBy = Readonly<Record<JudgedPart, string>>;

/** The parts in which two things are judged by something else. */
export const otherParts = (a: JudgedBy, b: JudgedBy): readonly JudgedPart[] =>
  judgedParts.filter((part) => a[part] !== b[part]);

/** What the verdict by a tolerance depends on, in texts that are the same for plans that mean the same. */
export function judgedBy(plan: Plan, tolerance: PlanTolerance, named: Named): JudgedBy {
  const { limits, limitsFrom, rule, capability, value, circle } = tolerance;
  const name = (one: string): string => nameIn(plan, one, named);
  const readings = tolerance.entries.flatMap((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' ? [entry] : [];
  });
  return {
    limits: text(
      [limits.low?.value, limits.high?.value, limitsFrom?.low ?? null, limitsFrom?.high ?? null],
      name,
    ),
    rule: text([rule, capability], name),
    value: text([value, circle], name),
    reading: text(
      readings.map(({ name: own, kind, circle: whole, repeats }) => [
        ...[name(own), kind, whole],
        repeats && [repeats.take, repeats.times],
      ]),
      name,
    ),
    instrument: text(
      readings.map(({ instrument }) => {
        const declared = plan.instruments.find((one) => one.id === instrument);
        if (instrument === undefined || declared === undefined) return instrument ?? null;
        const { quantity, range, resolution, permissibleError, calibration, commonError } = declared;
        return [
          named.instrument(instrument),
          ...[quantity, range, resolution, permissibleError, calibration, commonError],
        ];
      }),
      name,
    ),
    stock: '',
  };
}

/** The same of a choice from stock. */
export function chosenBy(plan: Plan, selection: PlanSelection, named: Named): JudgedBy | undefined {
  const tolerance = plan.tolerances[selection.tolerance];
  if (tolerance === undefined) return undefined;
  const { sizes, most, least, greatest, permissibleError } = selection.stock;
  const stock = [sizes, most, least, greatest, permissibleError, selection.fitted, selection.sensitivity];
  return {
    ...judgedBy(plan, tolerance, named),
    stock: text(stock, (one) => nameIn(plan, one, named)),
  };
}

/** Times since steps are known by the steps. */
function nameIn(plan: Plan, name: string, named: Named): string {
  const time = plan.elapsed.find((one) => one.name === name);
  if (time === undefined) return findEntry(plan, name) === undefined ? name : named.entry(name);
  const path = (node: number): string => named.step(plan.nodes[node]?.path ?? '');
  return `since ${path(time.since)}${time.until === undefined ? '' : ` until ${path(time.until)}`}`;
}

const text = (value: unknown, name: (one: string) => string): string =>
  JSON.stringify(plain(value, name) ?? null);

/** Exact numbers as fractions, amounts without the words that they are written in, names as they are now. */
function plain(value: unknown, name: (one: string) => string): unknown {
  if (value instanceof Rational) return value.toFraction();
  if (Array.isArray(value)) return value.map((one) => plain(one, name) ?? null);
  if (typeof value !== 'object' || value === null) return value;
  const members = new Map(Object.entries(value));
  if (members.get('node') === 'name') return ['name', name(String(members.get('name')))];
  // A quantity is its kind and its value, whatever its unit; a table its points, whatever it is called.
  const without = members.get('value') instanceof Rational ? ['unit', 'digits', 'decimals'] : [];
  const isTable = members.has('points') && members.has('gives');
  const dropped = isTable ? ['id', 'title'] : without;
  return [...members]
    .filter(([key, one]) => one !== undefined && !dropped.includes(key))
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, one]) => [key, plain(one, name) ?? null]);
}
