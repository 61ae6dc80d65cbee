// Putting tags on, drawer by drawer: stick a blank one, scan it, tap what it is on, next. One may stop at any time.
import { useEffect, useState } from 'react';
import { parseScannedText, readCode } from '#domain/scanned-text.ts';
import { showTag, tagCodeSchema } from '#domain/tag-code.ts';
import { Button } from '../../web/look/button.tsx';
import { Empty } from '../../web/look/empty.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { Frame, Section } from './frame.tsx';
import { livingIn, type PutOn, type Walked, walkPlaces } from './label-walk-list.ts';
import { WalkNewThing } from './label-walk-new.tsx';
import { changeWalk, keyOfRow, readWalk, sendWalk, type WalkRow } from './label-walk-rows.ts';
import { WalkScan } from './label-walk-scan.tsx';
import { useBook, usePage, useSyncState } from './page.tsx';
import type { RouteAt } from './route.ts';
import { countText } from './words.ts';

const show = (code: string): string => {
  const tag = tagCodeSchema.safeParse(code);
  return tag.success ? showTag(tag.data) : code;
};

/** The rows that wait, sent whenever there is hope that the service answers. */
function useWalkRows() {
  const { phone, sync } = usePage();
  const hopeful = useSyncState().kind !== 'offline';
  const [rows, setRows] = useState<readonly WalkRow[]>([]);
  const [putOn, setPutOn] = useState<PutOn>(new Map());
  const [trouble, setTrouble] = useState(false);
  useEffect(() => {
    void readWalk(phone.database).then((kept) => {
      setPutOn((before) => new Map([...before, ...kept.flatMap(pairOf)]));
      setRows(kept);
    });
    // Also when the service answers again after a silence.
    if (hopeful) void sendWalk(phone.database).then(setRows);
  }, [phone, hopeful]);
  const change = async (next: (before: readonly WalkRow[]) => readonly WalkRow[]): Promise<boolean> => {
    try {
      setRows(await changeWalk(phone.database, next));
      setTrouble(false);
    } catch {
      // Full, or closed by a newer page: nothing was kept, so nothing may look kept.
      setTrouble(true);
      return false;
    }
    void sendWalk(phone.database).then((left) => {
      setRows(left);
      sync.wake();
    });
    return true;
  };
  const add = async (more: readonly WalkRow[]) => {
    const kept = await change((before) => [...before, ...more]);
    const pairs = more.flatMap(pairOf);
    const codes = pairs.map(([, code]) => code);
    if (kept)
      setPutOn((before) => new Map([...[...before].filter(([, on]) => !codes.includes(on)), ...pairs]));
    return kept;
  };
  const forget = (row: WalkRow) => {
    setPutOn((before) => new Map([...before].filter(([id]) => row.kind !== 'tie' || id !== row.targetId)));
    return change((before) => before.filter((one) => keyOfRow(one) !== keyOfRow(row)));
  };
  return { rows, putOn, trouble, add, forget };
}
type Walk = ReturnType<typeof useWalkRows>;

const pairOf = (row: WalkRow): readonly (readonly [string, string])[] =>
  row.kind === 'tie' ? [[row.targetId, row.code]] : [];

function WaitingRows({ walk }: { readonly walk: Walk }) {
  const refused = walk.rows.filter((row) => row.refused !== null);
  const waiting = walk.rows.length - refused.length;
  return (
    <>
      {walk.trouble ? (
        <Notice kind="trouble">
          <p>This was not kept: the phone could not write it. Make room, then tap it again.</p>
        </Notice>
      ) : null}
      {refused.map((row) => (
        <Notice key={keyOfRow(row)} kind="trouble" title={row.name}>
          <p>{row.refused}</p>
          <Button onClick={() => void walk.forget(row)}>Leave it</Button>
        </Notice>
      ))}
      {waiting === 0 ? null : (
        <p role="status">
          {countText(waiting, 'entry waits', 'entries wait')} on this phone for the service. Open this page
          again when it answers.
        </p>
      )}
    </>
  );
}

interface Pending {
  readonly code: string;
  /** What it is on already; another line tapped moves it there. */
  readonly on: Walked | null;
}

function ChoosePlace({ walk }: { readonly walk: Walk }) {
  const book = useBook();
  const { go } = usePage();
  const places = walkPlaces(book, walk.putOn);
  const bare = places.reduce((sum, place) => sum + place.bare, 0);
  return (
    <Frame title="Put on tags" figure={bare === 0 ? 'all tagged' : `${bare} without`}>
      <WaitingRows walk={walk} />
      {places.length === 0 ? (
        <Empty title="No compartment yet.">
          <p>Name the compartments of the vehicle at the desk first. Then this page goes along them.</p>
        </Empty>
      ) : (
        <p>Where do you stand? The dearest come first in each place; stop whenever you like.</p>
      )}
      <Lines label="Places">
        {places.map(({ place, things, bare: left }) => (
          <Line
            key={place.id}
            name={place.name}
            facts={countText(things, 'thing', 'things')}
            state={
              left === 0
                ? { word: 'all tagged', tone: 'good', icon: 'tick' }
                : { word: `${left} without`, tone: 'ask' }
            }
            onPress={() => go({ at: 'label-walk', placeId: place.id })}
          />
        ))}
      </Lines>
    </Frame>
  );
}

function usePending(walked: readonly Walked[], putOn: PutOn) {
  const book = useBook();
  const [pending, setPending] = useState<Pending | null>(null);
  const [words, setWords] = useState('');
  const findOn = (code: string): Walked | null => {
    const here = walked.find((one) => one.code === code);
    if (here !== undefined) return here;
    const [target] = book.codes.get(code) ?? [];
    const put = [...putOn].find(([, on]) => on === code)?.[0];
    const id = put ?? target?.id;
    for (const thing of book.things.values())
      if (thing.id === id) return { id: thing.id, isPlace: false, name: thing.name, code };
    for (const place of book.places.values())
      if (place.id === id) return { id: place.id, isPlace: true, name: place.name, code };
    return null;
  };
  const scan = (text: string, typed: boolean) => {
    const scanned = parseScannedText(text);
    const read = scanned === null ? null : readCode(scanned, { typed });
    if (read === null || read.kind === 'bad-check-characters') {
      setPending(null);
      setWords(`${text.slice(0, 40)} has a mistake in it. Scan it again.`);
      return;
    }
    const on = findOn(read.code);
    setPending({ code: read.code, on });
    setWords('');
  };
  return { pending, setPending, words, setWords, scan };
}

function PendingView({ pending, words }: { readonly pending: Pending | null; readonly words: string }) {
  if (pending === null) {
    return <p role="status">{words === '' ? 'Stick a blank tag on and scan it.' : words}</p>;
  }
  return (
    <p className="lead" role="status">
      {pending.on === null
        ? `${show(pending.code)}: tap what it is on.`
        : `${show(pending.code)} is on ${pending.on.name}. Tap another line to move it there.`}
    </p>
  );
}

function WalkedLines({
  label,
  lines,
  onTap,
}: {
  readonly label: string;
  readonly lines: readonly Walked[];
  readonly onTap: (one: Walked) => void;
}) {
  if (lines.length === 0) return null;
  return (
    <Section title={label} figure={String(lines.length)}>
      <Lines label={label}>
        {lines.map((one) => (
          <Line
            key={one.id}
            name={one.name}
            facts={one.isPlace ? 'this place itself' : ''}
            state={
              one.code === null
                ? { word: 'no tag', tone: 'ask' }
                : { word: show(one.code), tone: 'good', icon: 'tick' }
            }
            onPress={() => onTap(one)}
          />
        ))}
      </Lines>
    </Section>
  );
}

function WalkPlaceScreen({
  placeId,
  walk,
}: {
  placeId: NonNullable<RouteAt<'label-walk'>['placeId']>;
  walk: Walk;
}) {
  const book = useBook();
  const { back } = usePage();
  const entered = walk.rows.flatMap((row): readonly Walked[] =>
    row.kind === 'new' && row.placeId === placeId && !book.things.has(row.thingId)
      ? [{ id: row.thingId, isPlace: false, name: row.name, code: walk.putOn.get(row.thingId) ?? null }]
      : [],
  );
  const walked = [...livingIn(book, placeId, walk.putOn), ...entered];
  const { pending, setPending, words, setWords, scan } = usePending(walked, walk.putOn);
  const done = walked.filter(({ code }) => code !== null);
  const put = async (one: Pick<Walked, 'id' | 'isPlace' | 'name'>, before: readonly WalkRow[]) => {
    if (pending === null) return setWords(`Scan the tag first, then tap ${one.name}.`);
    const { code, on } = pending;
    const takeFrom = on === null || on.id === one.id ? null : on.id;
    const { id: targetId, isPlace, name } = one;
    const tie: WalkRow = { kind: 'tie', code, targetId, isPlace, name, takeFrom, refused: null };
    if (!(await walk.add([...before, tie]))) return;
    setPending(null);
    setWords(`${show(code)} is on ${name}. Next.`);
  };
  return (
    <Frame
      title={book.places.get(placeId)?.name ?? 'Put on tags'}
      figure={`${done.length} of ${walked.length}`}
    >
      <WaitingRows walk={walk} />
      <PendingView pending={pending} words={words} />
      <WalkScan onText={scan} />
      <WalkedLines
        label="Without a tag"
        lines={walked.filter(({ code }) => code === null)}
        onTap={(one) => void put(one, [])}
      />
      {pending === null || pending.on !== null ? (
        <p className="small">Something that is not listed? Scan its new tag; then it can be entered.</p>
      ) : (
        <Section title="Not listed">
          <WalkNewThing
            key={pending.code}
            placeId={placeId}
            onNew={(row) => void put({ id: row.thingId, isPlace: false, name: row.name }, [row])}
          />
        </Section>
      )}
      <WalkedLines label="Tagged" lines={done} onTap={(one) => void put(one, [])} />
      <div className="answers">
        <Button wide onClick={back}>
          Enough here
        </Button>
      </div>
    </Frame>
  );
}

export function LabelWalkScreen({ route }: { readonly route: RouteAt<'label-walk'> }) {
  const walk = useWalkRows();
  if (route.placeId === null) return <ChoosePlace walk={walk} />;
  return <WalkPlaceScreen placeId={route.placeId} walk={walk} />;
}
