// Keeps the screen awake while the camera looks. A browser that cannot, or will not, changes nothing.

/** Holds the screen on; the function given back lets go, also of a lock that is still on its way. */
export function keepAwake(): () => void {
  let wanted = true;
  let held: WakeLockSentinel | null = null;
  const hold = async (): Promise<void> => {
    if (!('wakeLock' in navigator)) return;
    try {
      const lock = await navigator.wakeLock.request('screen');
      if (wanted) held = lock;
      else await lock.release();
    } catch {
      // Low battery, or no permission: the screen goes dark as it always does.
    }
  };
  void hold();
  return () => {
    wanted = false;
    void held?.release().catch(() => {});
  };
}
