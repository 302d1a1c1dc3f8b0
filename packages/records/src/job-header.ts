/** The version of the job file that this package writes; reading refuses any other. */
export const jobFormat = 'ferrule-job-1';

/** What the first line of a job file says: which pack, pinned by its digest, and which of its procedures. */
export interface JobHeader {
  readonly job: string;
  readonly pack: {
    readonly id: string;
    readonly revision: string;
    /** Where the pack was found, from the folder of the job file, with forward slashes. */
    readonly path: string;
    /** Digest of the bundle. */
    readonly digest: string;
  };
  readonly procedure: string;
  readonly variant: string;
}
