// One thing: where it is now, its facts, what it is worth, and everything that ever happened to it.
import './thing.css';
import { useParams } from 'react-router';
import { type Thing, thingSchema } from '#domain/thing.ts';
import { type History, useHistory } from '../data/history.ts';
import { type Places, usePlaces } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, bodyOf, PlaceChain, useTitle } from './parts.tsx';
import { ThingFacts } from './thing-facts.tsx';
import { ThingHistory } from './thing-history.tsx';
import { ThingValues } from './thing-values.tsx';
import { WORD_OF_KIND, WORD_OF_WHOSE } from './words.ts';

function Marks({ thing }: { readonly thing: Thing }) {
  return (
    <>
      {thing.holdsRushes ? (
        <Notice kind="caution" title="Holds rushes">
          <p>The footage on it is not yet safe twice or handed over.</p>
        </Notice>
      ) : null}
      {thing.faulty === null ? null : (
        <Notice kind="caution" title="Faulty">
          <p>{thing.faulty === '' ? 'Nobody wrote down how.' : thing.faulty}</p>
        </Notice>
      )}
      {thing.writtenOff ? (
        <Notice kind="news">
          <p>Written off: it is in no sum any more. Its history stays.</p>
        </Notice>
      ) : null}
    </>
  );
}

function WhereNow({ history, places }: { readonly history: History; readonly places: Places | null }) {
  const { whereabouts } = history;
  return (
    <section aria-labelledby="where-now">
      <Tape level={2} id="where-now">
        Where it is now
      </Tape>
      {whereabouts.length === 0 ? <p>Nobody has put it down anywhere yet.</p> : null}
      <ul className="plain">
        {whereabouts.map(({ placeId, number, spot }) => (
          <li key={placeId} className="where-now">
            {whereabouts.length > 1 || number !== 1 ? <strong>{number} × </strong> : null}
            {spot ? <strong>{spot}, </strong> : null}
            <PlaceChain placeId={placeId} places={places} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function ThingBody({ thing }: { readonly thing: Thing }) {
  useTitle(thing.name);
  const { answer, again } = useHistory(thing.id);
  const places = bodyOf(usePlaces().answer);
  const kind = WORD_OF_KIND[thing.kind];
  return (
    <>
      <Tape level={1}>{thing.name}</Tape>
      <p className="facts-line">
        {[thing.whose === 'ours' ? kind : `${kind}, ${WORD_OF_WHOSE[thing.whose]}`, thing.maker, thing.model]
          .filter(Boolean)
          .join(' · ')}
      </p>
      <Marks thing={thing} />
      <Answered answer={answer} onAgain={again}>
        {(history) => (
          <>
            <div className="thing-panes">
              <div>
                <WhereNow history={history} places={places} />
                <ThingFacts thing={thing} places={places} />
              </div>
              <ThingValues thing={thing} />
            </div>
            <ThingHistory history={history} places={places} onUndone={again} />
          </>
        )}
      </Answered>
    </>
  );
}

export function ThingScreen() {
  const { thingId } = useParams();
  const { answer, again } = useAnswer(`/api/things/${thingId}`, thingSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(thing) => <ThingBody key={thing.id} thing={thing} />}
    </Answered>
  );
}
