// One decoder for every way in: frames of the camera, pictures of the library, older phones.
import { prepareZXingModule, type ReaderOptions, type ReadResult, readBarcodes } from 'zxing-wasm/reader';
import wasmAddress from 'zxing-wasm/reader/zxing_reader.wasm?url';
import { type CodeSeen, codeSeen, SCAN_FORMATS } from './scan-format.ts';

// minLineCount stays at the decoder's 2: with 1 there was a wrong Code 128 text in 930 frames, with 2 none.
const OPTIONS: ReaderOptions = {
  formats: [...SCAN_FORMATS],
  // Several labels may be in view; the one that is aimed at wins, so all of them are needed.
  maxNumberOfSymbols: 8,
  tryHarder: true,
  tryRotate: true,
  tryInvert: true,
  tryDownscale: true,
};

/** Fetches the WebAssembly from our own service, never from anywhere else, and starts it. */
export async function prepareDecoder(): Promise<void> {
  await prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) => (path.endsWith('.wasm') ? wasmAddress : prefix + path),
    },
    fireImmediately: true,
  });
}

function distanceFrom(middle: { x: number; y: number }, { position }: ReadResult): number {
  const corners = [position.topLeft, position.topRight, position.bottomLeft, position.bottomRight];
  const x = corners.reduce((sum, corner) => sum + corner.x, 0) / corners.length;
  const y = corners.reduce((sum, corner) => sum + corner.y, 0) / corners.length;
  return Math.hypot(x - middle.x, y - middle.y);
}

/** The code nearest to `middle` (pixels of this picture), or null where none can be read. */
export async function decodeFrame(
  image: ImageData,
  middle: { x: number; y: number },
): Promise<CodeSeen | null> {
  const reads = (await readBarcodes(image, OPTIONS)).filter((read) => read.isValid);
  reads.sort((one, other) => distanceFrom(middle, one) - distanceFrom(middle, other));
  return reads.map(({ text, format }) => codeSeen(text, format)).find((seen) => seen !== null) ?? null;
}
