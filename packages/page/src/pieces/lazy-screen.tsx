import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

/** A screen whose code comes when it is first shown, or when `fetch` is called before. */
export interface LazyScreen<Props> {
  readonly Screen: ComponentType<Props>;
  /** Fetches the code ahead, so that the screen is there at once. A failure is told when the screen is shown. */
  fetch(): void;
}

/** Makes a screen of what fetches its code. Until it has come the place is busy; if it does not come, that is said. */
export function lazyScreen<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): LazyScreen<Props> {
  const { usePart, fetch } = lazyPart(load);
  function Screen(props: Props) {
    const part = usePart();
    if (typeof part === 'function') {
      const Come = part;
      return <Come {...props} />;
    }
    return (
      <main class="page" aria-busy={part === 'coming'}>
        {part === 'missing' ? <ScreenMissing /> : null}
      </main>
    );
  }
  return { Screen, fetch: () => void fetch().catch(() => undefined) };
}

/** A part of a screen whose code comes when it is first shown: `coming` until then, `missing` where it did not come. */
export function lazyPart<Props extends object>(load: () => Promise<ComponentType<Props>>) {
  let coming: Promise<ComponentType<Props>> | undefined;
  let Come: ComponentType<Props> | undefined;
  const fetch = (): Promise<ComponentType<Props>> => {
    coming ??= load().then(
      (screen) => {
        Come = screen;
        return screen;
      },
      (fault) => {
        coming = undefined;
        throw fault;
      },
    );
    return coming;
  };
  const usePart = (): ComponentType<Props> | 'coming' | 'missing' => {
    const [hasFailed, setFailed] = useState(false);
    const [, setCome] = useState(Come !== undefined);
    useEffect(() => {
      if (Come !== undefined) return;
      let isGone = false;
      fetch().then(
        () => isGone || setCome(true),
        () => isGone || setFailed(true),
      );
      return () => {
        isGone = true;
      };
    }, []);
    return Come ?? (hasFailed ? 'missing' : 'coming');
  };
  return { usePart, fetch };
}

/** A part of the page was not reached, or is no longer there since the server has a newer page. Opening it anew mends both. */
export function ScreenMissing() {
  return (
    <section class="problem" role="alert">
      <h2>This part of the page did not come</h2>
      <p>The server is not reached, or it has a newer page by now. Nothing that was done is lost by that.</p>
      <button type="button" class="second" onClick={() => location.reload()}>
        Open the page again
      </button>
    </section>
  );
}
