import { firingAngles, followerAt, type Phasing, type Rational, writeAngle } from '@ferrule/engine';

/** Where the follower of one bore is off its base circle, and where it is now. */
export interface FollowerWords {
  readonly bore: number;
  /** `580° to 140°`, in degrees of the working cycle, ends included. */
  readonly offBase: string;
  /** Undefined while nobody knows where the crank stands. */
  readonly now: string | undefined;
}

/** Every follower in words, bore by bore, for a crank position in degrees of the cycle. */
export function followerWords(
  phasing: Phasing,
  bores: readonly number[],
  at: Rational | undefined,
): readonly FollowerWords[] {
  const fires = firingAngles(phasing);
  return bores.flatMap((bore) => {
    const own = fires.get(bore);
    if (own === undefined) return [];
    const { from, until } = phasing.offBase;
    const begins = writeAngle(own.minus(from).mod(phasing.cycle));
    const ends = writeAngle(own.plus(until).mod(phasing.cycle));
    return [{ bore, offBase: `${begins} to ${ends}`, now: nowWords(phasing, bore, at) }];
  });
}

function nowWords(phasing: Phasing, bore: number, at: Rational | undefined): string | undefined {
  const follower = at === undefined ? undefined : followerAt(phasing, bore, at);
  if (follower === undefined) return undefined;
  const { onBaseCircle, margin } = follower;
  return onBaseCircle
    ? `on the base circle, ${writeAngle(margin)} from its lobe`
    : `off the base circle, ${writeAngle(margin.negated())} from its end`;
}
