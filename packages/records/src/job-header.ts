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
    /** Digest of the bundle, with the overlay where there is one. */
    readonly digest: string;
  };
  /** The overlay that was laid over the pack. */
  readonly overlay?: {
    readonly id: string;
    readonly revision: string;
    /** Where it was found, from the folder of the job file. */
    readonly path: string;
    /** Digest of its bundle. */
    readonly digest: string;
    /** Digest of the bundle of the pack by itself. */
    readonly over: string;
  };
  readonly procedure: string;
  readonly variant: string;
  /** How the pack was released, as it was known when the job began; missing where it was unsigned, or begun before this was kept. */
  readonly release?: {
    /** The keys that had signed it. */
    readonly signedBy: readonly string[];
    /** Whether a second person had approved it. */
    readonly approved: boolean;
    /** The same of the overlay, where there was one. */
    readonly overlay?: { readonly signedBy: readonly string[]; readonly approved: boolean };
  };
}
