/** How long there is, and whom to tell what is being done. */
export interface Until {
  readonly isOver: () => boolean;
  readonly onProgress: (doing: string) => void;
}
