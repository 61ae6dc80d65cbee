// How phone and service stand, and the few choices of this phone.
import { useEffect, useState } from 'react';
import { personIdSchema } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { chooseTheme, readTheme, type Theme } from '../../web/look/theme.ts';
import { isSilent, playVerdict, setSilent } from '../feedback/play-verdict.ts';
import type { SyncState } from '../sync/sync.ts';
import { Frame, Section } from './frame.tsx';
import { usePage, usePhoneState, useSyncState } from './page.tsx';
import { countText, phoneZone, timeText } from './words.ts';

const SYNC_WORDS: Readonly<Record<SyncState['kind'], string>> = {
  starting: 'Asking the service.',
  loading: 'Reading the catalogue.',
  together: 'The service answers.',
  elsewhere: 'Another tab of this browser keeps phone and service together.',
  offline: 'The service does not answer. Everything goes on here, and leaves when it answers again.',
  'no-outfit': 'The service has no outfit yet. Begin one at the desk.',
  'not-understood':
    'This page and the service do not understand each other. Reload the page once with a connection.',
};

const THEMES: readonly (readonly [Theme, string])[] = [
  ['as-device', 'As the phone'],
  ['light', 'Light'],
  ['dark', 'Dark'],
];

interface Room {
  readonly lasting: boolean;
  readonly usedMb: number | null;
}

async function readRoom(): Promise<Room> {
  if (!('storage' in navigator)) return { lasting: false, usedMb: null };
  const lasting = await navigator.storage.persisted();
  const { usage } = await navigator.storage.estimate();
  return { lasting, usedMb: usage === undefined ? null : Math.ceil(usage / 1_000_000) };
}

function Together() {
  const { sync, go } = usePage();
  const { waiting, waitingStops, inDrawer, head } = usePhoneState();
  const state = useSyncState();
  const number = waiting.length + waitingStops.length;
  return (
    <Section title="Phone and service">
      <p role="status">{SYNC_WORDS[state.kind]}</p>
      <p>
        {number === 0
          ? 'All is with the service.'
          : `${countText(number, 'line waits', 'lines wait')} to leave.`}
      </p>
      {head === null ? null : (
        <p className="small">Catalogue of {timeText(head.at, phoneZone(), Date.now())}.</p>
      )}
      <div className="row">
        <Button onClick={sync.wake}>Try now</Button>
        <Button onClick={() => go({ at: 'drawer' })}>The drawer: {inDrawer}</Button>
        <Button icon="scan" onClick={() => go({ at: 'label-walk', placeId: null })}>
          Put on tags
        </Button>
      </div>
    </Section>
  );
}

function KeptHere() {
  const { offline } = usePage();
  if (offline.kind === 'ready') return <p>This page opens with no network.</p>;
  if (offline.kind === 'preparing') return <p>This page is being put on the phone.</p>;
  if (offline.kind === 'not-active') return <p>{offline.sentence}</p>;
  return (
    <p>
      A newer page is here. <Button onClick={offline.takeOver}>Use it now</Button>
    </p>
  );
}

function Person() {
  const { phone } = usePage();
  const { book, settings } = usePhoneState();
  const people = [...(book?.people.values() ?? [])];
  if (people.length === 0) return null;
  const choose = (value: string) => {
    const personId = personIdSchema.safeParse(value);
    void phone.choose({ ...settings, personId: personId.success ? personId.data : null });
  };
  const owner = people.find((person) => person.role === 'owner') ?? people[0];
  return (
    <Section title="Who has this phone">
      <label>
        Name
        <select value={settings.personId ?? owner?.id ?? ''} onChange={(event) => choose(event.target.value)}>
          {people.map((person) => (
            <option key={person.id} value={person.id}>
              {person.name}
            </option>
          ))}
        </select>
      </label>
    </Section>
  );
}

export function SettingsScreen() {
  const [theme, setTheme] = useState(readTheme());
  const [silent, setSilence] = useState(isSilent());
  const [room, setRoom] = useState<Room | null>(null);
  useEffect(() => {
    void readRoom().then(setRoom, () => setRoom({ lasting: false, usedMb: null }));
  }, []);
  const chooseSound = (on: boolean) => {
    setSilent(!on);
    setSilence(!on);
    if (on) playVerdict('aboard');
  };
  return (
    <Frame title="Settings">
      <Together />
      <Person />
      <Section title="Sounds">
        <label className="pick">
          <input type="checkbox" checked={!silent} onChange={(event) => chooseSound(event.target.checked)} />{' '}
          Sounds with each answer
        </label>
      </Section>
      <Section title="Light or dark">
        <fieldset className="row">
          <legend className="unseen">Light or dark</legend>
          {THEMES.map(([value, words]) => (
            <label key={value} className="pick">
              <input
                type="radio"
                name="theme"
                checked={theme === value}
                onChange={() => {
                  chooseTheme(value);
                  setTheme(value);
                }}
              />{' '}
              {words}
            </label>
          ))}
        </fieldset>
      </Section>
      <Section title="Room on this phone">
        <KeptHere />
        {room === null ? null : (
          <p>
            {room.lasting
              ? 'The browser keeps what is here until you remove it.'
              : 'The browser may clear what is here when the phone is short of room. Add this page to the home screen, and it keeps it.'}
            {room.usedMb === null ? '' : ` About ${room.usedMb} MB are used.`}
          </p>
        )}
      </Section>
    </Frame>
  );
}
