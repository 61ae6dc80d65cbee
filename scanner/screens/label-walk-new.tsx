// A thing nobody has entered: its picture, its class and the tag in hand. The desk names it later.
import { type FormEvent, useState } from 'react';
import { type PlaceId, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { makeId } from '../store/write-down.ts';
import type { WalkRow } from './label-walk-rows.ts';
import { useBook } from './page.tsx';

// Enough to know it by; a whole photograph would wait long in a weak network.
const SIDE_PX_MAX = 1_600;
const JPEG_QUALITY = 0.82;

/** The picture made small, as JPEG; null where this browser cannot read it. */
async function shrink(file: Blob): Promise<Blob | null> {
  try {
    const image = await createImageBitmap(file, { imageOrientation: 'from-image' });
    const scale = Math.min(1, SIDE_PX_MAX / Math.max(image.width, image.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(image.width * scale);
    canvas.height = Math.round(image.height * scale);
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    return await new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', JPEG_QUALITY));
  } catch {
    // A kind of picture that this browser does not know.
    return null;
  }
}

interface NewThingProps {
  readonly placeId: PlaceId;
  readonly onNew: (row: Extract<WalkRow, { kind: 'new' }>) => void;
}

export function WalkNewThing({ placeId, onNew }: NewThingProps) {
  const book = useBook();
  const [picture, setPicture] = useState<Blob | null>(null);
  const [unreadable, setUnreadable] = useState(false);
  const [classId, setClassId] = useState('');
  const classes = [...book.classes.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
  const take = async (file: File | undefined) => {
    if (file === undefined) return;
    const small = await shrink(file);
    setPicture(small);
    setUnreadable(small === null);
  };
  const enter = (event: FormEvent) => {
    event.preventDefault();
    const known = classes.find(({ id }) => id === classId);
    onNew({
      kind: 'new',
      thingId: thingIdSchema.parse(makeId()),
      name: `${known?.name ?? 'New thing'}, not named yet`,
      classId: known?.id ?? null,
      placeId,
      pictureId: plainIdSchema.parse(makeId()),
      picture,
      takenAt: Date.now(),
      refused: null,
    });
  };
  return (
    <form onSubmit={enter}>
      {unreadable ? (
        <Notice kind="trouble">
          <p>This picture cannot be read here. Take another one, or go on without.</p>
        </Notice>
      ) : null}
      <div className="row">
        <label className="button">
          {picture === null ? 'Take a picture' : 'Another picture'}
          <input
            type="file"
            accept="image/*"
            capture="environment"
            className="unseen"
            onChange={(event) => void take(event.target.files?.[0])}
          />
        </label>
        <span role="status">{picture === null ? '' : 'The picture is here.'}</span>
      </div>
      <label>
        Class
        <select value={classId} onChange={(event) => setClassId(event.target.value)}>
          <option value="">Not sure</option>
          {classes.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <div className="answers">
        <Button kind="main" wide type="submit">
          It is this, and lives here
        </Button>
      </div>
    </form>
  );
}
