/** A block of code on a page: the words after its fence, and what stands in it. */
export interface FencedBlock {
  readonly info: string;
  readonly text: string;
}

/** The fenced blocks of a page, in order. */
export const fencedBlocks = (page: string): readonly FencedBlock[] =>
  [...page.matchAll(/^```(.*)\n([\s\S]*?)^```$/gm)].map(([, info = '', text = '']) => ({ info, text }));

/** The files that a page shows whole: blocks whose fence says `yaml` and a path. */
export function filesOn(page: string): ReadonlyMap<string, string> {
  const files = new Map<string, string>();
  for (const { info, text } of fencedBlocks(page)) {
    const [, path] = /^(?:yaml|js|html) (\S+)$/.exec(info) ?? [];
    if (path !== undefined) files.set(path, text);
  }
  return files;
}
