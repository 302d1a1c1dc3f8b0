/** Texts under names. */
export interface TextStore {
  get(name: string): string | undefined;
  set(name: string, text: string): void;
}

/**
 * Texts that the browser keeps. One that keeps nothing, since it is full or was told to, throws already when it is asked where: then
 * they are known as long as the page is open.
 */
function textStore(storage: () => Storage): TextStore {
  const here = new Map<string, string>();
  return {
    get: (name) => {
      const known = here.get(name);
      if (known !== undefined) return known;
      try {
        return storage().getItem(name) ?? undefined;
      } catch {
        return undefined;
      }
    },
    set: (name, text) => {
      here.set(name, text);
      try {
        storage().setItem(name, text);
        // What is kept counts, since another tab may change it.
        here.delete(name);
      } catch {
        // It is known here.
      }
    },
  };
}

/** What this browser keeps for good. */
export const onDevice: TextStore = textStore(() => localStorage);

/** What is forgotten when the tab is closed. */
export const inTab: TextStore = textStore(() => sessionStorage);
