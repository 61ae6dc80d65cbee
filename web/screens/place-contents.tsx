// One place: what it is in, its picture, and what was put down right in it, with numbers.
import { Link } from 'react-router';
import { type ContentLine as Content, contentPageSchema } from '#domain/where.ts';
import { chainFrom, type PlacedPlace, type Places } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, PlaceChain, useOutfit } from './parts.tsx';
import { showTime, WORD_OF_KIND, WORD_OF_PLACE } from './words.ts';

function ContentRow({ content, zone }: { readonly content: Content; readonly zone: string }) {
  return (
    <tr>
      <th scope="row">
        <Link to={`/things/${content.id}`}>{content.name}</Link>
        {content.isPlace ? (
          <>
            {' '}
            <Link to={`/where/${content.id}`} className="small">
              look inside
            </Link>
          </>
        ) : null}
      </th>
      <td>{WORD_OF_KIND[content.kind]}</td>
      <td className="number">{content.number}</td>
      <td className="number">{content.at === null ? '' : showTime(content.at, zone)}</td>
    </tr>
  );
}

function ContentTable({ contents }: { readonly contents: readonly Content[] }) {
  const { zone } = useOutfit();
  return (
    <table>
      <caption className="unseen">Put down right here</caption>
      <thead>
        <tr>
          <th scope="col">Thing</th>
          <th scope="col">What it is</th>
          <th scope="col" className="number">
            Number
          </th>
          <th scope="col" className="number">
            Put here
          </th>
        </tr>
      </thead>
      <tbody>
        {contents.map((content) => (
          <ContentRow key={content.id} content={content} zone={zone} />
        ))}
      </tbody>
    </table>
  );
}

function Around({ place, places }: { readonly place: PlacedPlace; readonly places: Places }) {
  const [outer] = chainFrom(place.id, places.byId).slice(1);
  const inner = [...places.byId.values()].filter(({ insideId }) => insideId === place.id);
  return (
    <>
      <p className="facts-line">
        {WORD_OF_PLACE[place.kind]}
        {outer ? (
          <>
            {' in '}
            <PlaceChain placeId={outer.id} places={places} />
          </>
        ) : null}
        {place.codes.map((code) => (
          <span key={code} className="code">
            {' · '}
            {code}
          </span>
        ))}
        {place.address ? ` · ${place.address}` : ''}
      </p>
      {place.note ? <p>{place.note}</p> : null}
      {inner.length > 0 ? (
        <p className="facts-line">
          {'Inside: '}
          {inner.map(({ id, name }, at) => (
            <span key={id}>
              {at > 0 ? ' · ' : ''}
              <Link to={`/where/${id}`}>{name}</Link>
            </span>
          ))}
        </p>
      ) : null}
    </>
  );
}

function NothingHere({ place }: { readonly place: PlacedPlace }) {
  return (
    <Empty title="Nothing was put down right here.">
      <p>
        {place.kind === 'vehicle'
          ? 'Its gear is in the compartments.'
          : 'Scan something into it on the phone page, or bring in a list that names it as a home.'}
      </p>
    </Empty>
  );
}

export function PlaceContents({ place, places }: { readonly place: PlacedPlace; readonly places: Places }) {
  const { answer, again } = useAnswer(`/api/places/${place.id}/contents?limit=500`, contentPageSchema);
  const [picture] = place.pictureIds.slice(-1);
  return (
    <>
      <Tape
        level={2}
        figure={place.things === 1 ? '1 thing right here' : `${place.things} things right here`}
      >
        {place.name}
      </Tape>
      <Around place={place} places={places} />
      {picture ? (
        <img
          className="place-picture"
          src={`/api/pictures/${picture}`}
          alt={`How ${place.name} looks when it is right`}
        />
      ) : null}
      <Answered answer={answer} onAgain={again}>
        {({ contents }) =>
          contents.length === 0 ? <NothingHere place={place} /> : <ContentTable contents={contents} />
        }
      </Answered>
    </>
  );
}
