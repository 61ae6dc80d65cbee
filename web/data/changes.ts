// The desk's ear: one stream that says "something changed", shared by every screen of this tab. Its silence is how
// the desk knows that the service is gone.
import { useSyncExternalStore } from 'react';

interface Heard {
  readonly changes: number;
  readonly connected: boolean;
}

function makeEar() {
  let heard: Heard = { changes: 0, connected: true };
  let last = '';
  const listeners = new Set<() => void>();
  let source: EventSource | null = null;
  const tell = (next: Heard) => {
    heard = next;
    for (const listener of listeners) listener();
  };
  const connect = () => {
    source = new EventSource('/api/feed/stream');
    source.addEventListener('open', () => tell({ ...heard, connected: true }));
    source.addEventListener('error', () => tell({ ...heard, connected: false }));
    source.addEventListener('change', (event) => {
      if (event.data === last) return;
      last = event.data;
      tell({ changes: heard.changes + 1, connected: true });
    });
  };
  const leave = (listener: () => void) => {
    listeners.delete(listener);
    if (listeners.size > 0) return;
    source?.close();
    source = null;
  };
  const listen = (listener: () => void) => {
    listeners.add(listener);
    if (source === null) connect();
    return () => leave(listener);
  };
  return { listen, read: () => heard };
}

const ear = makeEar();
const changesNow = () => ear.read().changes;
const connectedNow = () => ear.read().connected;

/** Grows by one whenever the outfit changed; a screen that depends on it asks again. */
export function useChangeNumber(): number {
  return useSyncExternalStore(ear.listen, changesNow);
}

/** Whether the service is there. What is on the screen stays while it is not. */
export function useConnected(): boolean {
  return useSyncExternalStore(ear.listen, connectedNow);
}
