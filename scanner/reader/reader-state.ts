// What the reader can be doing, as the screen shows it. A state that needs a person carries a sentence.
import type { CameraRefusal } from './camera-refusal.ts';
import type { Session } from './session.ts';
import type { TorchState } from './torch.ts';

export type ReaderState =
  | { readonly kind: 'off' }
  | { readonly kind: 'starting' }
  | {
      readonly kind: 'looking';
      readonly cameraId: string;
      readonly torch: TorchState;
      readonly way: Session['way'];
    }
  /** The page is hidden; it goes on by itself. */
  | { readonly kind: 'paused' }
  /** Nothing was seen for a minute; `start` wakes it. */
  | { readonly kind: 'resting'; readonly sentence: string }
  | CameraRefusal;

export const RESTING = {
  kind: 'resting',
  sentence: 'The camera rests, because nothing was scanned for a minute. Start it again when you need it.',
} as const satisfies ReaderState;
