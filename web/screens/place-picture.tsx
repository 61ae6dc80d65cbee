// How a place looks when it is right: its reference picture, which is taken, replaced and taken away here.
import { useState } from 'react';
import type { PlaceNode } from '#domain/where.ts';
import type { Refused } from '../data/ask.ts';
import { type KeptPlace, keepPicture, keptPlaceSchema, removePicture } from '../data/place-edits.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { bodyOf, RefusedNotice } from './parts.tsx';

/** The place as it is kept, with its pictures and codes; null until it was read. */
export function usePlaceFacts(placeId: string): KeptPlace | null {
  return bodyOf(useAnswer(`/api/places/${placeId}`, keptPlaceSchema).answer);
}

export function PlacePicture({ place }: { readonly place: PlaceNode }) {
  const kept = usePlaceFacts(place.id);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [isBusy, setBusy] = useState(false);
  const picture = kept?.pictureIds.at(-1);
  const run = async (work: Promise<{ readonly ok: true } | Refused>) => {
    setBusy(true);
    const answer = await work;
    setBusy(false);
    setRefused(answer.ok ? null : answer);
  };
  return (
    <figure className="place-figure">
      {picture ? (
        <img src={`/api/pictures/${picture}`} alt={`How ${place.name} looks when it is right`} />
      ) : (
        <p className="small">No picture of how it looks when it is right.</p>
      )}
      {refused ? <RefusedNotice refused={refused} /> : null}
      <div className="place-ways not-on-paper">
        <label className="button">
          {isBusy ? 'Keeping it …' : picture ? 'Replace the picture' : 'Add a picture'}
          <input
            type="file"
            accept="image/jpeg,image/png,image/webp"
            disabled={isBusy}
            onChange={({ target }) => {
              const file = target.files?.[0];
              // The same file can be chosen again after a refusal.
              target.value = '';
              if (file) void run(keepPicture(place.id, file));
            }}
          />
        </label>
        {picture ? (
          <Button kind="quiet" disabled={isBusy} onClick={() => void run(removePicture(picture))}>
            Take it away
          </Button>
        ) : null}
      </div>
    </figure>
  );
}
