/** How far something has come. */
export interface Working {
  /** What is being done, in words. */
  readonly doing: string;
  readonly done: number;
  /** How many parts it has; 0 while that is not known. */
  readonly of: number;
}

export type OnProgress = (working: Working) => void;
