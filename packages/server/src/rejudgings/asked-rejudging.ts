/** What is asked for: by which revision, and which jobs. */
export interface AskedRejudging {
  readonly pack: string;
  readonly revision: string;
  readonly overlay?: { readonly overlay: string; readonly revision: string };
  /** Only jobs of this procedure, as they call it. */
  readonly procedure?: string;
  /** Judges again what has not changed, too. */
  readonly all?: boolean;
}
