// Reads the code in a picture of the phone's library, through html5-qrcode with our own decoder behind it.
import type { CodeSeen } from '../worker/scan-format.ts';
import { makeHtml5Qrcode, seenFrom } from './shared-detector.ts';

export type PictureRead =
  | { readonly kind: 'read'; readonly seen: CodeSeen }
  | { readonly kind: 'nothing-found' | 'no-picture' | 'no-decoder'; readonly sentence: string };

const SENTENCES = {
  'nothing-found':
    'No code can be read in this picture. Take it nearer and straight on, with the whole label and some of what is around it.',
  'no-picture': 'This file is not a picture that the browser can show. Choose a photo.',
  'no-decoder':
    'The reader for pictures could not be started. Reload the page once with a connection, then try again.',
} as const;

// Larger pictures only cost time and memory; older phones refuse canvases above 16 million pixels.
const LONG_SIDE_MAX = 2_400;
const HOST = 'picture-to-scan';

const refuse = (kind: keyof typeof SENTENCES): PictureRead => ({ kind, sentence: SENTENCES[kind] });

function loadPicture(file: Blob): Promise<HTMLImageElement | null> {
  const address = URL.createObjectURL(file);
  const picture = new Image();
  return new Promise((resolve) => {
    const end = (loaded: HTMLImageElement | null): void => {
      URL.revokeObjectURL(address);
      resolve(loaded);
    };
    picture.onload = () => end(picture);
    picture.onerror = () => end(null);
    picture.src = address;
  });
}

/** The picture as a file of a size that every phone can decode, or null where it is no picture. */
async function fitPicture(file: File): Promise<File | null> {
  const picture = await loadPicture(file);
  if (!picture || picture.naturalWidth === 0) return null;
  const scale = LONG_SIDE_MAX / Math.max(picture.naturalWidth, picture.naturalHeight);
  if (scale >= 1) return file;
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.naturalWidth * scale);
  canvas.height = Math.round(picture.naturalHeight * scale);
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
  return blob ? new File([blob], 'picture.png', { type: 'image/png' }) : null;
}

async function readIn(host: HTMLElement, file: File): Promise<PictureRead> {
  let reader: Awaited<ReturnType<typeof makeHtml5Qrcode>>;
  try {
    reader = await makeHtml5Qrcode(host.id);
  } catch {
    return refuse('no-decoder');
  }
  try {
    const { decodedText, result } = await reader.scanFileV2(file, false);
    const seen = seenFrom(decodedText, result.format?.formatName);
    return seen ? { kind: 'read', seen } : refuse('nothing-found');
  } catch {
    // It throws strings, and one of them for every picture without a code.
    return refuse('nothing-found');
  }
}

/** The largest code in the picture. Nothing leaves the phone. */
export async function scanPicture(file: File): Promise<PictureRead> {
  const picture = await fitPicture(file);
  if (!picture) return refuse('no-picture');
  const host = document.createElement('div');
  host.id = `${HOST}-${crypto.getRandomValues(new Uint32Array(1)).join('')}`;
  host.hidden = true;
  document.body.append(host);
  try {
    return await readIn(host, picture);
  } finally {
    host.remove();
  }
}
