// The pictures of a thing: which there are, adding one, and taking one away so that it can be put back.
import { z } from 'zod';
import { type Asked, ask, type Refused } from './ask.ts';
import { useAnswer } from './use-answer.ts';

const picturesSchema = z.strictObject({
  pictures: z.array(z.strictObject({ id: z.string(), takenAt: z.int(), hash: z.string() })),
});
export type ListedPicture = z.infer<typeof picturesSchema>['pictures'][number];

export const usePictures = (thingId: string) => useAnswer(`/api/things/${thingId}/pictures`, picturesSchema);

export const addressOfPicture = (id: string): string => `/api/pictures/${id}`;

const BYTES_MAX = 8 * 1024 * 1024;
const SIDE_MAX = 3_000;
const QUALITY = 0.88;

/** A picture that is too large to be kept, smaller; others as they are. What cannot be read as a picture stays as it is. */
async function fitted(file: Blob): Promise<Blob> {
  if (file.size <= BYTES_MAX) return file;
  try {
    const bitmap = await createImageBitmap(file);
    const scale = Math.min(1, SIDE_MAX / Math.max(bitmap.width, bitmap.height));
    const canvas = new OffscreenCanvas(Math.round(bitmap.width * scale), Math.round(bitmap.height * scale));
    canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    return await canvas.convertToBlob({ type: 'image/jpeg', quality: QUALITY });
  } catch {
    // The service says in words what it is not.
    return file;
  }
}

interface Picture {
  readonly id: string;
  readonly thingId: string;
  readonly takenAt: number;
  readonly bytes: Blob;
}

function keepPicture({ id, thingId, takenAt, bytes }: Picture): Promise<Asked<unknown>> {
  const path = `${addressOfPicture(id)}?thing=${thingId}&takenAt=${takenAt}`;
  return ask(path, z.unknown(), { method: 'PUT', bytes });
}

/** Adds the files one after the other; the first refusal, with the name of its file, stops it. */
export async function addPictures(thingId: string, files: readonly File[]): Promise<Refused | null> {
  for (const file of files) {
    const picture = {
      id: crypto.randomUUID(),
      thingId,
      takenAt: file.lastModified,
      bytes: await fitted(file),
    };
    const kept = await keepPicture(picture);
    if (!kept.ok) return { ...kept, sentence: `${file.name}: ${kept.sentence}` };
  }
  return null;
}

/** Takes a picture away. What puts it back, the same bytes under the same id; or why it could not be taken away. */
export async function removePicture(
  thingId: string,
  { id, takenAt }: ListedPicture,
): Promise<{ readonly putBack: () => Promise<Asked<unknown>> } | Refused> {
  const bytes = await fetch(addressOfPicture(id))
    .then((response) => (response.ok ? response.blob() : null))
    .catch(() => null);
  const sentence = 'The picture could not be read, so it was not taken away. Try again.';
  if (bytes === null) return { ok: false, status: 0, kind: 'no-answer', sentence };
  const gone = await ask(addressOfPicture(id), z.unknown(), { method: 'DELETE' });
  if (!gone.ok) return gone;
  return { putBack: () => keepPicture({ id, thingId, takenAt, bytes }) };
}
