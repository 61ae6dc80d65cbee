// What happens around a running camera: the page is hidden and comes back, the phone is turned, the track is taken.

const TURNED_MS = 300;
const MUTED_MS = 2_000;

export interface PageEvents {
  readonly onHidden: () => void;
  readonly onShown: () => void;
  readonly onTurned: () => void;
}

/** Listens until the function given back is called. */
export function watchPage({ onHidden, onShown, onTurned }: PageEvents): () => void {
  const ends = new AbortController();
  const { signal } = ends;
  let turning: ReturnType<typeof setTimeout> | undefined;
  const turned = (): void => {
    clearTimeout(turning);
    turning = setTimeout(onTurned, TURNED_MS);
  };
  document.addEventListener('visibilitychange', () => (document.hidden ? onHidden() : onShown()), { signal });
  window.addEventListener('pagehide', onHidden, { signal });
  window.addEventListener('pageshow', onShown, { signal });
  window.addEventListener('orientationchange', turned, { signal });
  return () => {
    clearTimeout(turning);
    ends.abort();
  };
}

/** Calls once when the device takes the camera away: at once when the track ends, after 2 s when it only goes black. */
export function watchTrack(track: MediaStreamTrack, onLost: () => void): () => void {
  const ends = new AbortController();
  const { signal } = ends;
  let muting: ReturnType<typeof setTimeout> | undefined;
  track.addEventListener('ended', onLost, { signal });
  track.addEventListener('mute', () => (muting = setTimeout(() => track.muted && onLost(), MUTED_MS)), {
    signal,
  });
  track.addEventListener('unmute', () => clearTimeout(muting), { signal });
  return () => {
    clearTimeout(muting);
    ends.abort();
  };
}
