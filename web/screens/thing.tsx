// One thing: where it is now, its facts to read and to edit in place, pictures, prices, how it was answered for, and
// everything that ever happened to it.
import './thing.css';
import { useCallback, useEffect } from 'react';
import { Link, useParams, useSearchParams } from 'react-router';
import { type Thing, thingSchema } from '#domain/thing.ts';
import { useHistory } from '../data/history.ts';
import { type Places, usePlaces } from '../data/places.ts';
import { takeBackMerge } from '../data/thing-records.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, bodyOf, useTitle } from './parts.tsx';
import { OldEntries, ThingBuilt } from './thing-built.tsx';
import { ThingChecks } from './thing-checks.tsx';
import { ThingCodes } from './thing-codes.tsx';
import { type Deeds, DeedsBar, useDeeds } from './thing-deeds.tsx';
import { ThingEdit } from './thing-edit.tsx';
import { ThingFacts } from './thing-facts.tsx';
import { ThingHistory } from './thing-history.tsx';
import { FaultyButton, ThingNotices } from './thing-marks.tsx';
import { ThingPictures } from './thing-pictures.tsx';
import { ThingValues } from './thing-values.tsx';
import { ThingWhere } from './thing-where.tsx';
import { WriteOffButton } from './thing-write-off.tsx';
import { WORD_OF_KIND, WORD_OF_WHOSE } from './words.ts';

/** Whether the facts are being edited, in the address: a reload goes on there. */
function useEditing() {
  const [query, setQuery] = useSearchParams();
  const set = (editing: boolean) =>
    setQuery(
      (before) => {
        const next = new URLSearchParams(before);
        if (editing) next.set('edit', '1');
        else next.delete('edit');
        return next;
      },
      { replace: !editing },
    );
  return { editing: query.get('edit') === '1', set };
}

/** After a merge the way back is offered here, where it led to. */
function useMergedJustNow(thing: Thing, deeds: Deeds) {
  const [query, setQuery] = useSearchParams();
  const gone = query.get('merged');
  const { run } = deeds;
  useEffect(() => {
    if (gone === null) return;
    void run(
      async () => ({ ok: true, body: null, version: null }),
      () => ({ words: `The two are one now: ${thing.name}.`, undo: () => takeBackMerge(gone) }),
    );
    setQuery(
      (before) => {
        const next = new URLSearchParams(before);
        next.delete('merged');
        return next;
      },
      { replace: true },
    );
  }, [gone, run, setQuery, thing.name]);
}

function ThingWays({
  thing,
  deeds,
  onEdit,
}: {
  readonly thing: Thing;
  readonly deeds: Deeds;
  readonly onEdit: () => void;
}) {
  if (thing.mergedIntoId !== null) return null;
  return (
    <div className="ways not-on-paper">
      <Button kind="main" onClick={onEdit}>
        Edit facts
      </Button>
      {thing.faulty === null ? <FaultyButton thing={thing} deeds={deeds} /> : null}
      {thing.writtenOff ? null : <WriteOffButton thing={thing} deeds={deeds} />}
      <Link className="button" to={`/things/${thing.id}/merge`}>
        Same as another
      </Link>
      {thing.codes.length > 0 ? (
        <Link className="button" to={`/tags/label/${thing.id}`}>
          Labels
        </Link>
      ) : null}
    </div>
  );
}

interface PanesProps {
  readonly thing: Thing;
  readonly deeds: Deeds;
  readonly places: Places | null;
  readonly again: () => void;
}

function ThingPanes({ thing, deeds, places, again }: PanesProps) {
  const told = useHistory(thing.id);
  return (
    <Answered answer={told.answer} onAgain={told.again}>
      {(history) => (
        <>
          <div className="thing-panes">
            <div>
              <ThingWhere thing={thing} history={history} places={places} deeds={deeds} />
              <ThingFacts thing={thing} places={places} />
              <ThingChecks thing={thing} places={places} />
            </div>
            <div>
              <ThingPictures thing={thing} deeds={deeds} />
              <ThingCodes thing={thing} deeds={deeds} />
              <ThingValues thing={thing} />
              <ThingBuilt thing={thing} />
              <OldEntries thing={thing} />
            </div>
          </div>
          <ThingHistory
            history={history}
            places={places}
            onUndone={() => {
              told.again();
              again();
            }}
          />
        </>
      )}
    </Answered>
  );
}

function ThingBody({ thing, again }: { readonly thing: Thing; readonly again: () => void }) {
  useTitle(thing.name);
  const places = bodyOf(usePlaces().answer);
  const deeds = useDeeds(again);
  const { editing, set } = useEditing();
  useMergedJustNow(thing, deeds);
  const kind = WORD_OF_KIND[thing.kind];
  const done = useCallback(() => {
    set(false);
    again();
  }, [set, again]);
  return (
    <>
      <Tape level={1}>{thing.name}</Tape>
      <p className="facts-line">
        {[thing.whose === 'ours' ? kind : `${kind}, ${WORD_OF_WHOSE[thing.whose]}`, thing.maker, thing.model]
          .filter(Boolean)
          .join(' · ')}
      </p>
      {editing && thing.mergedIntoId === null ? (
        <>
          <DeedsBar deeds={deeds} />
          <ThingEdit thing={thing} onDone={done} />
        </>
      ) : (
        <>
          <ThingWays thing={thing} deeds={deeds} onEdit={() => set(true)} />
          <DeedsBar deeds={deeds} />
          <ThingNotices thing={thing} deeds={deeds} />
          <ThingPanes thing={thing} deeds={deeds} places={places} again={again} />
        </>
      )}
    </>
  );
}

export function ThingScreen() {
  const { thingId } = useParams();
  const { answer, again } = useAnswer(`/api/things/${thingId}`, thingSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(thing) => <ThingBody key={thing.id} thing={thing} again={again} />}
    </Answered>
  );
}
