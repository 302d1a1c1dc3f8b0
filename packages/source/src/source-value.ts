/** What YAML becomes: every scalar is text, exactly as it was written, until the schema says what it means. */
export type SourceValue = string | SourceList | SourceMapping;
export type SourceList = readonly SourceValue[];
export interface SourceMapping {
  readonly [key: string]: SourceValue;
}

export const isList = (value: SourceValue | undefined): value is SourceList => Array.isArray(value);
export const isMapping = (value: SourceValue | undefined): value is SourceMapping =>
  typeof value === 'object' && !Array.isArray(value);
