// One session with the camera, from the permission to the last frame: the own loop, or html5-qrcode on older phones.
import type { CodeSeen } from '../worker/scan-format.ts';
import { type CameraRefusal, refusalOf } from './camera-refusal.ts';
import { canDecodeInWorker, startFrameLoop } from './frame-loop.ts';
import { closeCamera, openCamera } from './open-camera.ts';
import { createPace } from './pace.ts';

export interface SessionOptions {
  readonly video: HTMLVideoElement;
  readonly cameraId: string | null;
  readonly onSeen: (seen: CodeSeen) => void;
  /** The decoder does not start. */
  readonly onFailed: () => void;
  /** The camera now gives smaller pictures; some phones switch their light off at that. */
  readonly onResized: () => void;
}

export interface Session {
  readonly way: 'own-loop' | 'older-phone';
  readonly track: MediaStreamTrack | null;
  readonly id: string;
  readonly stop: () => Promise<void>;
}

const SMALLER = { width: { ideal: 1280 }, height: { ideal: 720 } } as const;

async function showStream(video: HTMLVideoElement, stream: MediaStream): Promise<void> {
  video.setAttribute('playsinline', '');
  video.muted = true;
  video.srcObject = stream;
  await video.play();
}

async function openOwnLoop(options: SessionOptions): Promise<Session | { readonly refusal: CameraRefusal }> {
  const { video, onSeen, onFailed, onResized } = options;
  const opened = await openCamera(options.cameraId);
  if ('refusal' in opened) return opened;
  try {
    await showStream(video, opened.stream);
  } catch (error) {
    closeCamera(opened);
    return { refusal: refusalOf(error) };
  }
  const isTooSlow = createPace();
  const onTook = (tookMs: number): void => {
    if (isTooSlow(tookMs)) opened.track.applyConstraints(SMALLER).then(onResized, () => {});
  };
  const loop = startFrameLoop({ video, onSeen, onTook, onFailed });
  const stop = async (): Promise<void> => {
    loop.stop();
    closeCamera(opened);
    video.srcObject = null;
  };
  return { way: 'own-loop', track: opened.track, id: opened.id, stop };
}

export async function openSession(
  options: SessionOptions,
): Promise<Session | { readonly refusal: CameraRefusal }> {
  if (canDecodeInWorker()) return openOwnLoop(options);
  const { openOlderPhone } = await import('./older-phone.ts');
  return openOlderPhone(options);
}
