// Where a thing is now: an item with its spot, by whom and when; counted things by place, each with its last hand count and
// a way to count again.
import { type FormEvent, useState } from 'react';
import { Link } from 'react-router';
import { placeIdSchema } from '#domain/ids.ts';
import { type MovementOf, NUMBER_MAX, type Recorded } from '#domain/movement.ts';
import type { Thing } from '#domain/thing.ts';
import type { History, Whereabouts } from '../data/history.ts';
import { usePeople, useStops } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import { PlaceChain, useOutfit, WideTable } from './parts.tsx';
import type { Deeds } from './thing-deeds.tsx';
import { PlaceSelect } from './thing-inputs.tsx';
import { showNumber, showTime } from './words.ts';

interface WhereProps {
  readonly thing: Thing;
  readonly history: History;
  readonly places: Places | null;
  readonly deeds: Deeds;
}

/** A time at the stop where it was said, and where the outfit is, when the two differ. */
export function TwoTimes({ at, stopId }: { readonly at: number; readonly stopId: string | null }) {
  const { zone } = useOutfit();
  const stop = useStops().get(stopId ?? '');
  return (
    <>
      <time dateTime={new Date(at).toISOString()}>{showTime(at, stop?.zone ?? zone)}</time>
      {stop && stop.zone !== zone ? (
        <span className="small"> there, {showTime(at, zone)} at home</span>
      ) : null}
    </>
  );
}

function ItemWhere({
  whereabouts,
  places,
}: {
  readonly whereabouts: Whereabouts;
  readonly places: Places | null;
}) {
  const people = usePeople();
  const stops = useStops();
  const { placeId, spot, put } = whereabouts;
  const stop = stops.get(put?.stopId ?? '');
  const who = people.get(put?.personId ?? '')?.name;
  return (
    <>
      <p className="where-now">
        {spot ? <strong>{spot}, </strong> : null}
        <PlaceChain placeId={placeId} places={places} />
      </p>
      {put ? (
        <p className="facts-line">
          Put there <TwoTimes at={put.at} stopId={put.stopId} />
          {who ? ` by ${who}` : ''}
          {stop ? `, at the stop ${stop.name}` : ''}.
        </p>
      ) : null}
    </>
  );
}

type HandCount = Recorded<MovementOf<'hand-count'>>;

function lastCountOf(history: History, placeId: string): HandCount | undefined {
  return history.lines.find(
    (line): line is HandCount =>
      line.kind === 'hand-count' && line.toId === placeId && !history.undone.has(line.id),
  );
}

const isNumber = (text: string): boolean => /^\d{1,10}$/.test(text.trim()) && Number(text) <= NUMBER_MAX;

/** "n here now": a hand count at a place. */
function useHandCount({ thing, deeds, places }: WhereProps) {
  return (placeId: string, number: string) =>
    deeds.write(
      [
        {
          kind: 'hand-count',
          stopId: null,
          round: null,
          note: null,
          thingId: thing.id,
          toId: placeIdSchema.parse(placeId),
          number: Number(number),
          check: 'by-number',
        },
      ],
      `${number.trim()} counted: ${places?.byId.get(placeId)?.name ?? 'there'}.`,
    );
}

function NumberRow({ row, ...props }: WhereProps & { readonly row: Whereabouts }) {
  const [number, setNumber] = useState<string | null>(null);
  const people = usePeople();
  const count = useHandCount(props);
  const last = lastCountOf(props.history, row.placeId);
  const who = people.get(last?.personId ?? '')?.name;
  const name = props.places?.byId.get(row.placeId)?.name ?? 'there';
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    if (number !== null && isNumber(number) && (await count(row.placeId, number))) setNumber(null);
  };
  return (
    <tr>
      <th scope="row">
        <PlaceChain placeId={row.placeId} places={props.places} />
      </th>
      <td className={row.number < 0 ? 'number tone-bad strong' : 'number'}>{showNumber(row.number)}</td>
      <td>
        {last ? (
          <>
            {showNumber(last.number)}, <TwoTimes at={last.at} stopId={last.stopId} />
            {who ? ` by ${who}` : ''}
          </>
        ) : (
          <span className="small">never</span>
        )}
      </td>
      <td className="not-on-paper thing-count-cell">
        {number === null ? (
          <Button onClick={() => setNumber('')}>Count again</Button>
        ) : (
          <form className="thing-count" onSubmit={submit}>
            <input
              // The person has just pressed "Count again".
              ref={(input) => input?.focus()}
              aria-label={`How many there are: ${name}`}
              inputMode="numeric"
              value={number}
              maxLength={10}
              onChange={(event) => setNumber(event.target.value)}
            />
            <Button type="submit" kind="main" disabled={!isNumber(number)}>
              Write it down
            </Button>
            <Button onClick={() => setNumber(null)}>Not now</Button>
          </form>
        )}
      </td>
    </tr>
  );
}

function CountElsewhere(props: WhereProps) {
  const [placeId, setPlaceId] = useState('');
  const [number, setNumber] = useState('');
  const count = useHandCount(props);
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    if (placeId === '' || !isNumber(number) || !(await count(placeId, number))) return;
    setPlaceId('');
    setNumber('');
  };
  return (
    <form
      className="row-form thing-elsewhere not-on-paper"
      onSubmit={submit}
      aria-label="Count at another place"
    >
      <PlaceSelect label="Counted at" value={placeId} none="choose a place" onValue={setPlaceId} />
      <Field
        label="How many"
        inputMode="numeric"
        size={6}
        maxLength={10}
        value={number}
        onChange={(event) => setNumber(event.target.value)}
      />
      <Button type="submit" disabled={placeId === '' || !isNumber(number)}>
        Write it down
      </Button>
    </form>
  );
}

function NumbersTable(props: WhereProps) {
  const rows = props.history.whereabouts;
  const sum = rows.reduce((all, row) => all + row.number, 0);
  return (
    <WideTable name="Numbers by place">
      <table className="thing-rows">
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col" className="number">
              Number
            </th>
            <th scope="col">Last hand count</th>
            <th scope="col" className="not-on-paper">
              <span className="unseen">Count</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <NumberRow key={row.placeId} row={row} {...props} />
          ))}
        </tbody>
        {rows.length > 1 ? (
          <tfoot>
            <tr>
              <th scope="row">All together</th>
              <td className="number strong">{showNumber(sum)}</td>
              <td />
              <td className="not-on-paper" />
            </tr>
          </tfoot>
        ) : null}
      </table>
    </WideTable>
  );
}

export function ThingWhere(props: WhereProps) {
  const { thing, history, places } = props;
  const [first] = history.whereabouts;
  const isCounted = thing.kind !== 'item';
  return (
    <section aria-labelledby="where-now">
      <Tape level={2} id="where-now">
        {isCounted ? 'Where they are now' : 'Where it is now'}
      </Tape>
      {first === undefined ? (
        <p>
          Nobody has {isCounted ? 'counted any' : 'put it down'} anywhere yet.{' '}
          {isCounted ? '' : <Link to="/where">Move it there from a place.</Link>}
        </p>
      ) : null}
      {first !== undefined && !isCounted ? <ItemWhere whereabouts={first} places={places} /> : null}
      {first !== undefined && isCounted ? <NumbersTable {...props} /> : null}
      {isCounted && thing.mergedIntoId === null ? <CountElsewhere {...props} /> : null}
    </section>
  );
}
