/**
 * What a pack may hold. A pack can come from anywhere, so nothing in it may exhaust memory or time; each
 * bound lies far above a real pack (one of some twenty procedures has a few hundred kilobytes and about
 * 20,000 values).
 */
export const limits = {
  /** Bytes of one file. */
  fileBytes: 4 * 1024 * 1024,
  /** YAML files in one pack. */
  files: 500,
  /** Bytes of all files together; also the characters that aliases may repeat. */
  packBytes: 32 * 1024 * 1024,
  /** Mappings and lists inside one another. */
  depth: 64,
  /** Keys and values of a pack, with what aliases repeat. */
  values: 200_000,
  /** Lines and YAML indicators of a pack, counted before parsing: parsing costs time for each of them. */
  indicators: 400_000,
  /** Faults reported for one file; the rest are counted. */
  faults: 200,
  /** Names in all folders of a pack, files that are not YAML included. */
  entries: 5_000,
  /** Folders inside one another. */
  folderDepth: 8,
} as const;
