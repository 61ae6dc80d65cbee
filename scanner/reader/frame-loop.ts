// The loop that looks: a frame of the video, cut to where the person aims, into the worker, and the answer out.
// One frame is on its way at a time, so a slow phone looks less often and never falls behind.

import type { DecoderAnswer, FrameToDecode } from '../worker/decoder-messages.ts';
import { planFrame, shownRegion } from '../worker/frame-plan.ts';
import type { CodeSeen } from '../worker/scan-format.ts';

export interface FrameLoop {
  readonly stop: () => void;
}

export interface FrameLoopOptions {
  readonly video: HTMLVideoElement;
  readonly onSeen: (seen: CodeSeen) => void;
  readonly onTook: (tookMs: number) => void;
  /** The decoder could not be fetched or started. */
  readonly onFailed: () => void;
}

/** Whether this browser can decode in a worker. iOS from 16.4, Chrome from 83, Firefox from 132 (MDN data 8.1.9). */
export function canDecodeInWorker(): boolean {
  if (typeof OffscreenCanvas === 'undefined' || typeof createImageBitmap === 'undefined') return false;
  if (!('requestVideoFrameCallback' in HTMLVideoElement.prototype)) return false;
  return new OffscreenCanvas(1, 1).getContext('2d') !== null;
}

async function grab(video: HTMLVideoElement, number: number): Promise<FrameToDecode | null> {
  const size = { width: video.videoWidth, height: video.videoHeight };
  if (size.width === 0 || size.height === 0) return null;
  const shown = shownRegion(size, { width: video.clientWidth, height: video.clientHeight });
  const { region, treatment } = planFrame(number, size, shown);
  const frame = await createImageBitmap(video, region.x, region.y, region.width, region.height);
  const middle = { x: size.width / 2 - region.x, y: size.height / 2 - region.y };
  return { frame, treatment, middle };
}

export function startFrameLoop({ video, onSeen, onTook, onFailed }: FrameLoopOptions): FrameLoop {
  const worker = new Worker(new URL('../worker/decoder.ts', import.meta.url), { type: 'module' });
  let number = 0;
  let stopped = false;
  const next = (): void => {
    if (!stopped) video.requestVideoFrameCallback(() => void look());
  };
  const look = async (): Promise<void> => {
    try {
      const frame = stopped ? null : await grab(video, number);
      if (!frame) return next();
      number += 1;
      worker.postMessage(frame, [frame.frame]);
    } catch {
      // A video that is just being taken away has no frame to give.
      next();
    }
  };
  worker.addEventListener('message', ({ data }: MessageEvent<DecoderAnswer>) => {
    if (stopped) return;
    if (data.kind === 'failed') return onFailed();
    next();
    if (data.kind === 'ready') return;
    onTook(data.tookMs);
    if (data.seen) onSeen(data.seen);
  });
  worker.addEventListener('error', () => (stopped ? undefined : onFailed()));
  return {
    stop: () => {
      stopped = true;
      worker.terminate();
    },
  };
}
