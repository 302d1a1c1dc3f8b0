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

/** Makes a piece of a screen of what fetches its code; until that has come nothing stands there, and if it does not come, that is said. */
export function lazyPiece<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): ComponentType<Props> {
  const { usePart } = lazyPart(load);
  return (props) => {
    const part = usePart();
    if (typeof part !== 'function') return part === 'missing' ? <ScreenMissing /> : null;
    const Come = part;
    return <Come {...props} />;
  };
}

/** What is shown once its code has come: `coming` until then, `missing` where it did not come. */
function lazyPart<Props extends object>(load: () => Promise<ComponentType<Props>>) {
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
      let isGone = false;
      // Also where it came between the first drawing and now: nothing else would draw again.
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
function ScreenMissing() {
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
