// Finds things and places by any part of what they are known by; the text stands in the address.
import { Link, useSearchParams } from 'react-router';
import { z } from 'zod';
import { placeSchema } from '#domain/place.ts';
import { type Thing, thingSchema } from '#domain/thing.ts';
import { useHistory } from '../data/history.ts';
import { type Places, usePlaces } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, bodyOf, PlaceChain, useTitle, WideTable } from './parts.tsx';
import { WORD_OF_PLACE, WORD_OF_WHOSE } from './words.ts';

// As many as the service answers with.
const HITS_MAX = 50;
const MATCH_WORDS = {
  code: 'by its code',
  beginning: 'begins so',
  part: 'has it in it',
  alike: 'is spelt like it',
} as const;
const match = z.enum(['code', 'beginning', 'part', 'alike']);
const hitsSchema = z.strictObject({
  hits: z.array(
    z.union([
      z.strictObject({ match, thing: thingSchema, place: z.null() }),
      z.strictObject({ match, thing: z.null(), place: placeSchema }),
    ]),
  ),
});
type Hit = z.infer<typeof hitsSchema>['hits'][number];

function WhereItIs({ thingId, places }: { readonly thingId: string; readonly places: Places | null }) {
  const history = bodyOf(useHistory(thingId).answer);
  if (history === null) return <span className="small">Asking …</span>;
  if (history.whereabouts.length === 0) return <span className="small">never put down anywhere</span>;
  return history.whereabouts.map(({ placeId, number, spot }) => (
    <span key={placeId} className="whereabouts">
      {history.whereabouts.length > 1 || number !== 1 ? <strong>{number} × </strong> : null}
      {spot ? <strong>{spot}, </strong> : null}
      <PlaceChain placeId={placeId} places={places} />
    </span>
  ));
}

function factsOf(thing: Thing): string {
  const known = [thing.maker, thing.model, thing.serial ? `serial ${thing.serial}` : null, ...thing.codes];
  const whose = thing.whose === 'ours' ? null : WORD_OF_WHOSE[thing.whose];
  const state = [thing.writtenOff ? 'written off' : null, thing.faulty === null ? null : 'faulty'];
  return [...known, whose, ...state].filter(Boolean).join(' · ');
}

function HitRow({ hit, places }: { readonly hit: Hit; readonly places: Places | null }) {
  if (hit.thing === null) {
    const { place } = hit;
    const inside = places?.byId.get(place.id)?.insideId ?? null;
    return (
      <tr>
        <th scope="row">
          <Link to={`/where/${place.id}`}>{place.name}</Link>
        </th>
        <td>{WORD_OF_PLACE[place.kind]}</td>
        <td>{MATCH_WORDS[hit.match]}</td>
        <td>{inside === null ? '' : <PlaceChain placeId={inside} places={places} />}</td>
      </tr>
    );
  }
  return (
    <tr>
      <th scope="row">
        <Link to={`/things/${hit.thing.id}`}>{hit.thing.name}</Link>
      </th>
      <td>{factsOf(hit.thing)}</td>
      <td>{MATCH_WORDS[hit.match]}</td>
      <td>
        <WhereItIs thingId={hit.thing.id} places={places} />
      </td>
    </tr>
  );
}

function HitTable({ hits }: { readonly hits: readonly Hit[] }) {
  const places = bodyOf(usePlaces().answer);
  return (
    <WideTable name="Found">
      <table>
        <thead>
          <tr>
            <th scope="col">Found</th>
            <th scope="col">Known by</th>
            <th scope="col">Why</th>
            <th scope="col">Where it is</th>
          </tr>
        </thead>
        <tbody>
          {hits.map((hit) => (
            <HitRow key={hit.thing?.id ?? hit.place?.id} hit={hit} places={places} />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

function NothingFound({ text }: { readonly text: string }) {
  return (
    <Empty title={`Nothing is known by “${text}”.`}>
      <p>Try a shorter part of the name, the maker, the model, the serial number or the tag.</p>
    </Empty>
  );
}

export function FindScreen() {
  const [query] = useSearchParams();
  const text = (query.get('q') ?? '').trim().slice(0, 200);
  useTitle(text === '' ? 'Find' : `Find “${text}”`);
  const path = text === '' ? null : `/api/search?q=${encodeURIComponent(text)}`;
  const { answer, again } = useAnswer(path, hitsSchema);
  if (path === null) {
    return (
      <>
        <Tape level={1}>Find</Tape>
        <Empty title="Type what you know of it.">
          <p>A part of its name, maker, model, serial number or tag. Typing errors are forgiven.</p>
        </Empty>
      </>
    );
  }
  return (
    <>
      <Tape level={1}>Find “{text}”</Tape>
      <Answered answer={answer} onAgain={again}>
        {({ hits }) => (
          <>
            <p className="small" role="status">
              {hits.length === 1 ? '1 found' : `${hits.length} found`}
              {hits.length === HITS_MAX
                ? ', which is as many as are shown; type more of it to see others'
                : ''}
            </p>
            {hits.length === 0 ? <NothingFound text={text} /> : <HitTable hits={hits} />}
          </>
        )}
      </Answered>
    </>
  );
}
