import type { Pack } from '@ferrule/engine';

/** What the jobs of a pack judge and measure, by name, with the words for it, at whichever bore; each name once. */
export function namesInPack({ procedures }: Pack): ReadonlyMap<string, string> {
  const names = new Map<string, string>();
  for (const { tolerances = {}, readings = {} } of Object.values(procedures)) {
    for (const [name, { measurand }] of Object.entries(readings))
      names.set(name, measurand.replace(/ ?\{bore\}/g, ''));
    for (const [name, { of }] of Object.entries(tolerances))
      names.set(name, typeof of === 'string' ? `limits of ${of}` : 'limits');
  }
  return new Map([...names].sort(([a], [b]) => (a < b ? -1 : 1)));
}
