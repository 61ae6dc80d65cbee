// The pictures of a thing: put there by choosing files or dropping them, taken away with a way back.
import { type DragEvent, useState } from 'react';
import type { Thing } from '#domain/thing.ts';
import {
  addPictures,
  addressOfPicture,
  type ListedPicture,
  removePicture,
  usePictures,
} from '../data/thing-pictures.ts';
import { Button } from '../look/button.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered } from './parts.tsx';
import type { Deeds } from './thing-deeds.tsx';
import { showTime } from './words.ts';

const TYPES = 'image/jpeg,image/png,image/webp';
const HASH_SHOWN = 12;

interface PicturesProps {
  readonly thing: Thing;
  readonly deeds: Deeds;
}

function OnePicture({ picture, thing, deeds }: PicturesProps & { readonly picture: ListedPicture }) {
  const takeAway = async () => {
    const gone = await removePicture(thing.id, picture);
    if (!('putBack' in gone)) return deeds.refuse(gone);
    await deeds.run(
      async () => ({ ok: true, body: null, version: null }),
      () => ({ words: 'The picture is taken away.', undo: gone.putBack }),
    );
  };
  const address = addressOfPicture(picture.id);
  return (
    <li className="thing-picture">
      <figure>
        <a href={address} target="_blank" rel="noreferrer">
          <img src={address} alt={`${thing.name}, ${showTime(picture.takenAt)}`} loading="lazy" />
        </a>
        <figcaption className="small">
          {showTime(picture.takenAt)}
          <span className="code" title={`SHA-256 of its bytes: ${picture.hash}`}>
            {' '}
            {picture.hash.slice(0, HASH_SHOWN)}
          </span>
        </figcaption>
      </figure>
      <div className="not-on-paper">
        <Button kind="quiet" onClick={() => void takeAway()}>
          Take away
        </Button>
      </div>
    </li>
  );
}

function useAdding({ thing, deeds }: PicturesProps) {
  const [busy, setBusy] = useState(false);
  const add = async (files: readonly File[]) => {
    if (files.length === 0) return;
    setBusy(true);
    const refused = await addPictures(thing.id, files);
    setBusy(false);
    deeds.refuse(refused);
  };
  return { busy, add };
}

function useDropping(add: (files: readonly File[]) => void) {
  const [over, setOver] = useState(false);
  const hold = (event: DragEvent) => {
    if (!event.dataTransfer.types.includes('Files')) return;
    event.preventDefault();
    setOver(true);
  };
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    add([...event.dataTransfer.files]);
  };
  return { over, on: { onDragOver: hold, onDragLeave: () => setOver(false), onDrop: drop } };
}

export function ThingPictures(props: PicturesProps) {
  const { thing } = props;
  const { answer, again } = usePictures(thing.id);
  const { busy, add } = useAdding(props);
  const { over, on } = useDropping((files) => void add(files));
  return (
    <section aria-labelledby="pictures">
      <Tape level={2} id="pictures">
        Pictures
      </Tape>
      <Answered answer={answer} onAgain={again}>
        {({ pictures }) => (
          <ul className="thing-pictures" aria-label="Pictures">
            {pictures.map((picture) => (
              <OnePicture key={picture.id} picture={picture} {...props} />
            ))}
          </ul>
        )}
      </Answered>
      {thing.mergedIntoId === null ? (
        <div className={over ? 'thing-drop thing-drop-over not-on-paper' : 'thing-drop not-on-paper'} {...on}>
          <label className="button">
            {busy ? 'Adding …' : 'Add pictures'}
            <input
              type="file"
              accept={TYPES}
              multiple
              disabled={busy}
              onChange={(event) => {
                void add([...(event.target.files ?? [])]);
                event.target.value = '';
              }}
            />
          </label>
          <span className="small"> or drop them here: JPEG, PNG or WebP</span>
        </div>
      ) : null}
    </section>
  );
}
