// Phones have several lenses. The best for a label looks away from the person, has the light, and focuses nearest.

export interface LensFacts {
  readonly id: string;
  readonly facing: string | undefined;
  readonly torch: boolean;
  /** Nearest focus in metres, where the device says it. */
  readonly nearestM: number | undefined;
}

const KEPT = 'tailcount-camera';

/** The lens to use from the next start on, or null to leave it to the browser. */
export function pickLens(lenses: readonly LensFacts[]): string | null {
  const away = lenses.filter(({ facing }) => facing === 'environment');
  const rank = ({ torch, nearestM }: LensFacts): number => (torch ? 0 : 1_000) + (nearestM ?? 100);
  const [best] = [...away].sort((one, other) => rank(one) - rank(other));
  return best && away.length > 1 ? best.id : null;
}

function nearestOf(abilities: object): number | undefined {
  if (!('focusDistance' in abilities)) return undefined;
  const range = abilities.focusDistance;
  if (typeof range !== 'object' || range === null || !('min' in range)) return undefined;
  return typeof range.min === 'number' ? range.min : undefined;
}

function factsOf(device: MediaDeviceInfo): LensFacts {
  const abilities: MediaTrackCapabilities =
    device instanceof InputDeviceInfo && typeof device.getCapabilities === 'function'
      ? device.getCapabilities()
      : {};
  return {
    id: device.deviceId,
    facing: abilities.facingMode?.[0],
    torch: 'torch' in abilities && abilities.torch === true,
    nearestM: nearestOf(abilities),
  };
}

async function videoInputs(): Promise<readonly MediaDeviceInfo[]> {
  const devices: MediaDevices | undefined = navigator.mediaDevices;
  if (!devices) return [];
  return (await devices.enumerateDevices()).filter(({ kind }) => kind === 'videoinput');
}

export interface Camera {
  readonly id: string;
  readonly name: string;
}

/** The cameras of the device. Names are the device's own, in its language, and empty until the camera was allowed. */
export async function listCameras(): Promise<readonly Camera[]> {
  const inputs = await videoInputs();
  return inputs.map(({ deviceId, label }, index) => ({ id: deviceId, name: label || `Camera ${index + 1}` }));
}

export function keptCamera(): string | null {
  try {
    return localStorage.getItem(KEPT);
  } catch {
    return null;
  }
}

/** Keeps the choice on this device; where nothing can be kept, the browser chooses next time. */
export function keepCamera(id: string): void {
  try {
    localStorage.setItem(KEPT, id);
  } catch {
    // A private window without storage.
  }
}

/**
 * After the camera was allowed once: keeps the best lens for the next start. Not for this one, because opening a
 * second stream makes some phones ask for permission again.
 */
export async function learnBestLens(): Promise<void> {
  if (keptCamera() !== null || typeof InputDeviceInfo === 'undefined') return;
  const best = pickLens((await videoInputs()).map(factsOf));
  if (best) keepCamera(best);
}
