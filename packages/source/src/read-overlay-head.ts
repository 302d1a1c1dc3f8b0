import { readFiles } from './read-files.ts';
import { readFolder } from './read-folder.ts';
import { isMapping } from './source-value.ts';

/** What an overlay says of itself. */
export interface OverlayHead {
  readonly title?: string;
  /** The pack that it is laid over, as its files say; undefined where they do not, or cannot be read. */
  readonly over?: { readonly pack: string; readonly revision: string };
}

/** Reads of the folder of an overlay what it is called and over which pack it is laid. Its faults are for whoever lays it. */
export async function readOverlayHead(folder: string): Promise<OverlayHead> {
  const { paths, contents, diagnostics } = await readFolder(folder, 'overlay.yaml');
  const { document } = readFiles(paths, contents, diagnostics);
  const { title } = document;
  const { over } = document;
  const { pack, revision } = isMapping(over) ? over : {};
  return {
    ...(typeof title === 'string' ? { title } : {}),
    ...(typeof pack === 'string' && typeof revision === 'string' ? { over: { pack, revision } } : {}),
  };
}
