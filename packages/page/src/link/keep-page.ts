import { signal } from '@preact/signals';
import { token } from './call.ts';

/** Whether this device has a newer page by now than the one that is shown. */
export const newerPage = signal(false);

/**
 * Lets the browser keep the page, so that it opens without the server. A browser does that only for a page of its own machine or one
 * that came by TLS; elsewhere the page works as long as it is open.
 */
export function keepPage(): void {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (workers === undefined) return;
  let isFirst = workers.controller === null;
  workers.addEventListener('controllerchange', () => {
    if (!isFirst) newerPage.value = true;
    isFirst = false;
  });
  // Cards and sheets open in tabs of their own, for which the worker asks.
  workers.addEventListener('message', ({ data, ports: [port] }) => {
    if (data === 'token') port?.postMessage(token.get());
  });
  workers.startMessages();
  void workers.register('/page/worker.js', { scope: '/', updateViaCache: 'none' }).then(
    (registration) => {
      document.addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'visible') void registration.update().catch(() => undefined);
      });
    },
    () => undefined,
  );
}
