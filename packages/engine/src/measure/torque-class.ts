import type { Amount } from '../quantity/index.ts';
import { Rational } from '../quantity/index.ts';

/**
 * The classes of hand torque tools, ISO 6789-1:2017, clause 4 (from memory). Type I indicates, type II is set and gives a
 * signal. Each with what it is, and whether it keeps to the closer deviation above 10 N·m.
 */
const classes = {
  I: {
    A: { tool: 'torsion or flexion bar', isCloser: false },
    B: { tool: 'wrench with scale or dial', isCloser: true },
    C: { tool: 'wrench with electronic measurement', isCloser: true },
    D: { tool: 'screwdriver with scale or dial', isCloser: false },
    E: { tool: 'screwdriver with electronic measurement', isCloser: false },
  },
  II: {
    A: { tool: 'wrench, adjustable, graduated', isCloser: true },
    B: { tool: 'wrench of one setting', isCloser: true },
    C: { tool: 'wrench, adjustable, not graduated', isCloser: true },
    D: { tool: 'screwdriver, adjustable, graduated', isCloser: false },
    E: { tool: 'screwdriver of one setting', isCloser: false },
    F: { tool: 'screwdriver, adjustable, not graduated', isCloser: false },
    G: { tool: 'flexion bar, adjustable, graduated', isCloser: false },
  },
} as const;

type Kinds = Readonly<Record<string, { readonly tool: string; readonly isCloser: boolean }>>;

/** Type and class of a torque tool. */
export interface TorqueClass {
  readonly type: keyof typeof classes;
  readonly class: string;
}

/** The letters of the classes that a type has. */
export const classesOf = (type: TorqueClass['type']): readonly string[] => Object.keys(classes[type]);

/** 10 N·m, in the base unit of torque. Up to it, itself included, tools of every class may deviate by 6 %. */
const SMALL = Rational.of(10);
const WIDER = Rational.of(6, 100);
const CLOSER = Rational.of(4, 100);

/**
 * How far the indication of a torque tool may deviate, as a share of the torque, by its class and its largest torque.
 * Undefined for a class that the type does not have. ISO 6789-1:2017, 5.1.5: 6 % up to 10 N·m and 4 % above, for type II,
 * class A read in a review of the standard; that other wrenches keep to the same, and that torsion and flexion bars and
 * screwdrivers keep to 6 % throughout, is from memory.
 */
export function permissibleDeviation(tool: TorqueClass, largest: Amount): Rational | undefined {
  const kinds: Kinds = classes[tool.type];
  const kind = Object.hasOwn(kinds, tool.class) ? kinds[tool.class] : undefined;
  if (kind === undefined) return undefined;
  return kind.isCloser && largest.value.compare(SMALL) > 0 ? CLOSER : WIDER;
}

/**
 * By how much of the reference a torque tool deviates: (indicated − reference) / reference (ISO 6789-1:2017, clause 7, from
 * memory). Undefined at a reference of zero.
 */
export function torqueDeviation(indicated: Rational, reference: Rational): Rational | undefined {
  return reference.sign === 0 ? undefined : indicated.minus(reference).over(reference);
}

/**
 * The least torque for which a tool is specified: a fifth of its largest (common practice; ISO 6789-1 tests at 20, 60 and
 * 100 %, read in a review of the standard).
 */
export const leastSpecified = (largest: Amount): Rational => largest.value.over(Rational.of(5));
