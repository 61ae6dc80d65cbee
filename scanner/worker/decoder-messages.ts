// What the page and its decoder say to each other.
import type { CodeSeen } from './scan-format.ts';

export interface FrameToDecode {
  readonly frame: ImageBitmap;
  readonly treatment: 'raw' | 'normalised';
  /** Where the person aims, in pixels of this frame. */
  readonly middle: { readonly x: number; readonly y: number };
}

export type DecoderAnswer =
  | { readonly kind: 'ready' }
  | { readonly kind: 'failed'; readonly reason: string }
  | { readonly kind: 'decoded'; readonly seen: CodeSeen | null; readonly tookMs: number };
