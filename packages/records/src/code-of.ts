/** The code of an error of the file system, such as ENOSPC. */
export const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error);
