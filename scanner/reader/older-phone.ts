// The camera on phones that cannot decode in a worker: html5-qrcode, fed with care, with our decoder behind it.
import type { Html5Qrcode } from 'html5-qrcode';
import { type CameraRefusal, refusalOf } from './camera-refusal.ts';
import type { Session, SessionOptions } from './session.ts';
import { makeHtml5Qrcode, seenFrom } from './shared-detector.ts';

const HOST = 'older-phone-camera';
// It decodes at the CSS size of its element: 360 px wide found a quarter of what 1280 px found.
const DECODED_WIDTH_PX = 1_280;
const PLAYS_WITHIN_MS = 5_000;

/** A box over the video, and in it one of 1280 px that is only shown smaller: a transform does not change its size. */
function makeHost(video: HTMLVideoElement): HTMLElement {
  const clip = document.createElement('div');
  const host = document.createElement('div');
  host.id = HOST;
  Object.assign(clip.style, { width: '100%', height: `${video.clientHeight}px`, overflow: 'hidden' });
  const scale = Math.max(0.1, video.clientWidth / DECODED_WIDTH_PX);
  Object.assign(host.style, {
    width: `${DECODED_WIDTH_PX}px`,
    transform: `scale(${scale})`,
    transformOrigin: '0 0',
  });
  clip.append(host);
  video.before(clip);
  video.hidden = true;
  return clip;
}

/** Stopping before the first picture plays leaves the instance stuck for good. */
function untilPlaying(shown: HTMLVideoElement | null): Promise<void> {
  if (!shown || shown.readyState > HTMLMediaElement.HAVE_CURRENT_DATA) return Promise.resolve();
  return new Promise((resolve) => {
    shown.addEventListener('playing', () => resolve(), { once: true });
    setTimeout(resolve, PLAYS_WITHIN_MS);
  });
}

/** Stops it, and the tracks by hand where it will not. */
async function stopReader(reader: Html5Qrcode, tracks: readonly MediaStreamTrack[]): Promise<void> {
  try {
    await reader.stop();
  } catch {
    // It throws strings for being in the wrong state; the tracks below are what counts.
  }
  for (const track of tracks) track.stop();
}

function begin(reader: Html5Qrcode, { cameraId, onSeen }: SessionOptions): Promise<null> {
  const chosen =
    cameraId === null ? { facingMode: { ideal: 'environment' } } : { deviceId: { exact: cameraId } };
  return reader.start(
    { facingMode: 'environment' },
    {
      fps: 10,
      disableFlip: true,
      videoConstraints: { ...chosen, width: { ideal: DECODED_WIDTH_PX }, height: { ideal: 720 } },
    },
    (text, { result }) => {
      const seen = seenFrom(text, result.format?.formatName);
      // What is thrown in here would be swallowed and reported as a frame without a code.
      if (seen) queueMicrotask(() => onSeen(seen));
    },
    undefined,
  );
}

export async function openOlderPhone(
  options: SessionOptions,
): Promise<Session | { readonly refusal: CameraRefusal }> {
  const { video } = options;
  const clip = makeHost(video);
  const tidy = (): void => {
    clip.remove();
    video.hidden = false;
  };
  try {
    const reader = await makeHtml5Qrcode(HOST);
    await begin(reader, options);
    const shown = clip.querySelector('video');
    await untilPlaying(shown);
    const stream = shown?.srcObject;
    const tracks = stream instanceof MediaStream ? stream.getVideoTracks() : [];
    const stop = async (): Promise<void> => {
      await stopReader(reader, tracks);
      tidy();
    };
    const [track] = tracks;
    return { way: 'older-phone', track: track ?? null, id: track?.getSettings().deviceId ?? '', stop };
  } catch (error) {
    tidy();
    return { refusal: refusalOf(error) };
  }
}
