// The camera reader of the phone page. It owns the camera: starts, stops, hides, turns, rests, and tells each scan once.
import type { ScanFormat } from '../worker/scan-format.ts';
import { createKeeper, type Keeper } from './camera-keeper.ts';
import { type Camera, keepCamera, listCameras } from './choose-lens.ts';
import type { ReaderState } from './reader-state.ts';
import { createScanGate } from './scan-gate.ts';
import type { PictureRead } from './scan-picture.ts';
import { watchPage } from './watch-page.ts';

export interface ReaderOptions {
  readonly video: HTMLVideoElement;
  /** One scan: called once while the code stays in view, and again when it comes back after 2 s. */
  readonly onText: (text: string, format: ScanFormat) => void;
  readonly onState: (state: ReaderState) => void;
  readonly restAfterMs?: number;
}

export interface Reader {
  /** What goes wrong is a state with a sentence, never a rejection. */
  readonly start: () => Promise<void>;
  readonly stop: () => Promise<void>;
  /** False where there is no light, or the phone would not. */
  readonly torch: (on: boolean) => Promise<boolean>;
  readonly cameras: () => Promise<readonly Camera[]>;
  /** Uses this camera now and from now on. */
  readonly choose: (cameraId: string) => Promise<void>;
  /** Reads a picture of the library. A code in it is also told through `onText`. */
  readonly scanPicture: (file: File) => Promise<PictureRead>;
}

const REST_AFTER_MS = 60_000;

/** The older way keeps the width it began with, so it begins again when the phone is turned. */
async function beginAgain(keeper: Keeper): Promise<void> {
  void keeper.close({ kind: 'starting' });
  await keeper.open();
}

export function createReader(options: ReaderOptions): Reader {
  const { video, onText, onState, restAfterMs = REST_AFTER_MS } = options;
  const gate = createScanGate();
  const keeper = createKeeper({
    video,
    onState,
    restAfterMs,
    onSeen: (seen) => {
      if (gate.admit(seen, performance.now())) onText(seen.text, seen.format);
    },
  });
  let unwatch: (() => void) | null = null;
  const watch = (): (() => void) =>
    watchPage({
      onHidden: () => keeper.wanted && void keeper.close({ kind: 'paused' }),
      onShown: () => keeper.wanted && void keeper.open(),
      onTurned: () => keeper.way() === 'older-phone' && void beginAgain(keeper),
    });
  return {
    start: () => {
      keeper.wanted = true;
      unwatch ??= watch();
      return keeper.open();
    },
    stop: () => {
      keeper.wanted = false;
      unwatch?.();
      unwatch = null;
      return keeper.close({ kind: 'off' });
    },
    torch: (on) => keeper.setTorch(on),
    cameras: () => listCameras(),
    choose: (cameraId) => {
      keepCamera(cameraId);
      return keeper.wanted ? beginAgain(keeper) : Promise.resolve();
    },
    scanPicture: async (file) => {
      const { scanPicture } = await import('./scan-picture.ts');
      const read = await scanPicture(file);
      if (read.kind === 'read') onText(read.seen.text, read.seen.format);
      return read;
    },
  };
}
