// Puts the page on the phone and says whether it is there: a certificate that was only clicked away gives a working
// camera and no service worker, so the page must not just look fine.

export type OfflineState =
  | { readonly kind: 'preparing' }
  /** Opens with no network from now on. */
  | { readonly kind: 'ready' }
  | { readonly kind: 'not-active'; readonly sentence: string }
  /** A newer page is here. It comes by itself when this one is closed, or now with `takeOver`, which reloads. */
  | { readonly kind: 'update-waiting'; readonly takeOver: () => void };

const READY_WITHIN_MS = 30_000;
const NOT_ACTIVE = {
  kind: 'not-active',
  sentence:
    'This page is not kept on this phone, so it will not open without a network. Open its https address with the certificate installed, or keep the page open.',
} as const satisfies OfflineState;

function takeOverBy(waiting: ServiceWorker): void {
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  waiting.postMessage('take-over');
}

function tellOfUpdates(
  registration: ServiceWorkerRegistration,
  onState: (state: OfflineState) => void,
): void {
  const tell = (): void => {
    const { waiting } = registration;
    if (waiting && navigator.serviceWorker.controller) {
      onState({ kind: 'update-waiting', takeOver: () => takeOverBy(waiting) });
    }
  };
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', tell);
  });
  const look = (): void => {
    // Without a network this fails, and nothing is wrong.
    if (!document.hidden) registration.update().catch(() => {});
  };
  document.addEventListener('visibilitychange', look);
  window.addEventListener('online', look);
  tell();
}

function readyInTime(): Promise<boolean> {
  return Promise.race([
    navigator.serviceWorker.ready.then(() => true),
    new Promise<boolean>((resolve) => setTimeout(() => resolve(false), READY_WITHIN_MS)),
  ]);
}

/** Call once when the page opens. It never rejects; what is wrong is a state with a sentence. */
export async function keepOffline(onState: (state: OfflineState) => void): Promise<void> {
  if (!('serviceWorker' in navigator)) return onState(NOT_ACTIVE);
  onState({ kind: 'preparing' });
  const scope = import.meta.env.BASE_URL;
  try {
    const registration = await navigator.serviceWorker.register(`${scope}sw.js`, {
      scope,
      updateViaCache: 'none',
    });
    onState((await readyInTime()) ? { kind: 'ready' } : NOT_ACTIVE);
    tellOfUpdates(registration, onState);
  } catch {
    onState(NOT_ACTIVE);
  }
}
