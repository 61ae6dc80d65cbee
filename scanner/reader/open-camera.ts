// Opens the camera and says what it can: one request for the whole of a scanning session, because phones ask again.
import { type CameraRefusal, refusalOf, refuseCamera } from './camera-refusal.ts';

export interface OpenedCamera {
  readonly stream: MediaStream;
  readonly track: MediaStreamTrack;
  readonly id: string;
}

// The small tags need 1920 at arm's length; a phone that is too slow for it steps down later.
const WIDE = { width: { ideal: 1920 }, height: { ideal: 1080 } } as const;

/** `cameraId` is a wish: a camera that is not there any more gives way to the one that looks away from the person. */
export async function openCamera(
  cameraId: string | null,
): Promise<OpenedCamera | { readonly refusal: CameraRefusal }> {
  // Typed as always there, but absent on a page that is not secure.
  const devices: MediaDevices | undefined = navigator.mediaDevices;
  if (!devices) return { refusal: refuseCamera('not-secure') };
  try {
    const chosen =
      cameraId === null ? { facingMode: { ideal: 'environment' } } : { deviceId: { exact: cameraId } };
    const stream = await devices.getUserMedia({ audio: false, video: { ...chosen, ...WIDE } });
    const [track] = stream.getVideoTracks();
    if (!track) return { refusal: refuseCamera('no-camera') };
    return { stream, track, id: track.getSettings().deviceId ?? '' };
  } catch (error) {
    const refusal = refusalOf(error);
    if (cameraId !== null && refusal.kind === 'no-camera') return openCamera(null);
    return { refusal };
  }
}

export function closeCamera({ stream }: { readonly stream: MediaStream }): void {
  for (const track of stream.getTracks()) track.stop();
}
