// The worker that decodes, so that the page never stalls: one frame in, one answer out.
import { decodeFrame, prepareDecoder } from './decode-frame.ts';
import type { DecoderAnswer, FrameToDecode } from './decoder-messages.ts';
import { normaliseFrame } from './normalise-frame.ts';

const canvas = new OffscreenCanvas(1, 1);
const context = canvas.getContext('2d', { willReadFrequently: true });

function answer(message: DecoderAnswer): void {
  postMessage(message);
}

function pixelsOf(frame: ImageBitmap): ImageData | null {
  if (canvas.width !== frame.width) canvas.width = frame.width;
  if (canvas.height !== frame.height) canvas.height = frame.height;
  context?.drawImage(frame, 0, 0);
  const { width, height } = frame;
  frame.close();
  return context?.getImageData(0, 0, width, height) ?? null;
}

async function decode({ frame, treatment, middle }: FrameToDecode): Promise<void> {
  const began = performance.now();
  const image = pixelsOf(frame);
  if (image && treatment === 'normalised') normaliseFrame(image);
  const seen = image ? await decodeFrame(image, middle) : null;
  answer({ kind: 'decoded', seen, tookMs: performance.now() - began });
}

const reasonOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

addEventListener('message', (event: MessageEvent<FrameToDecode>) => {
  decode(event.data).catch((error: unknown) => answer({ kind: 'failed', reason: reasonOf(error) }));
});

prepareDecoder().then(
  () => answer({ kind: 'ready' }),
  (error: unknown) => answer({ kind: 'failed', reason: reasonOf(error) }),
);
