/** Why a file of a store is not judged by the newer revision, each with the sentence that explains it. */
export const asideReasons = {
  broken: 'The record cannot be relied on.',
  'no-job': 'The file is not named as a job is.',
  empty: 'Nothing was recorded in it.',
  'other-pack': 'The job is of another pack.',
  'no-bundle': 'The store has not kept the revision that the job was done by.',
  'bundle-unreadable': 'The revision that the job was done by was altered, or cannot be read.',
  'no-overlay': 'The job was begun with an overlay that was not named here.',
  'no-procedure': 'The newer revision does not have the procedure.',
  'no-variant': 'The newer revision does not have the procedure for this engine.',
  'does-not-fit': 'The facts do not fit the revision that the job says it was done by.',
} as const;

export type AsideReason = keyof typeof asideReasons;

/** A file of a store that is left aside. */
export interface Aside {
  readonly job: string;
  readonly because: AsideReason;
  readonly message: string;
}

/** Every reason, for whoever lists them. */
export const asideReasonNames = Object.keys(asideReasons);
