// Everything by typing: screens, deeds, things, places, jobs, stops and counts. An editable combobox with a listbox, as
// the ARIA Authoring Practices describe it: the focus stays in the field, the arrows say which line is meant.
import './palette.css';
import { type KeyboardEvent, useEffect, useId, useMemo, useRef, useState } from 'react';
import { useNavigate } from 'react-router';
import type { SearchHit } from '#domain/search-hit.ts';
import type { Latest } from '../data/palette-offers.ts';
import { useHits, useLatest } from '../data/palette-offers.ts';
import { keepRecent, type Recent, readRecent } from '../data/recent.ts';
import { COUNT_ACTIONS, PALETTE_ACTIONS } from './palette-actions.ts';
import { entriesFor, type PaletteEntry } from './palette-entries.ts';
import { FIND, SCREENS } from './screens.ts';
import { showTime, WORD_OF_KIND, WORD_OF_PLACE } from './words.ts';

const TEXT_MAX = 200;

const OWN_ENTRIES: readonly PaletteEntry[] = [
  ...[...SCREENS, FIND].map(({ path, name }) => ({
    id: `screen ${path}`,
    name,
    word: 'screen',
    does: { goTo: path },
  })),
  ...PALETTE_ACTIONS.map(({ id, name, also, run }) => ({
    ...{ id: `do ${id}`, name, word: 'do', does: { run } },
    ...(also === undefined ? {} : { also }),
  })),
];

function entriesOfLatest({ jobs, stops, counts }: Latest): readonly PaletteEntry[] {
  const hasScreen = (path: string) => SCREENS.some((screen) => screen.path === path);
  const ofCounts = counts.flatMap((count): PaletteEntry[] => {
    const of = count.round > 1 ? `${count.stopName}, round ${count.round}` : count.stopName;
    const facts = [count.jobName, showTime(count.openedAt, count.zone)].filter(Boolean).join(' · ');
    const key = `${count.stopId}/${count.round}`;
    return [
      { id: `count ${key}`, name: of, word: 'count', facts, does: { goTo: `/counts/${key}` } },
      ...COUNT_ACTIONS.map(({ id, name, pathOf }) => ({
        ...{ id: `${id} ${key}`, name: `${name} ${of}`, word: 'do', facts },
        does: { goTo: pathOf(count) },
      })),
    ];
  });
  if (!hasScreen('/jobs')) return ofCounts;
  return [
    ...jobs.map(({ id, name, startsOn }) => ({
      ...{ id: `job ${id}`, name, word: 'job', does: { goTo: `/jobs/${id}` } },
      ...(startsOn === null ? {} : { facts: startsOn }),
    })),
    ...stops.map(({ id, name, jobName, startsAt, zone }) => ({
      ...{ id: `stop ${id}`, name, word: 'stop', does: { goTo: `/stops/${id}` } },
      facts: [jobName, showTime(startsAt, zone)].filter(Boolean).join(' · '),
    })),
    ...ofCounts,
  ];
}

function entryOfHit({ match, thing, place }: SearchHit): readonly PaletteEntry[] {
  if (thing !== null) {
    const facts = [thing.maker, thing.model, thing.serial, ...thing.codes].filter(Boolean).join(' · ');
    const goTo = `/things/${thing.id}`;
    return [
      {
        id: `thing ${thing.id}`,
        name: thing.name,
        word: WORD_OF_KIND[thing.kind],
        facts,
        does: { goTo },
        match,
      },
    ];
  }
  if (place === null) return [];
  const goTo = `/where/${place.id}`;
  return [
    { id: `place ${place.id}`, name: place.name, word: WORD_OF_PLACE[place.kind], does: { goTo }, match },
  ];
}

/** An address that was gone to before is offered again, also when nothing else names it now. */
function entryOfRecent({ id, name, word, goTo }: Recent): readonly PaletteEntry[] {
  return goTo === null ? [] : [{ id, name, word, does: { goTo } }];
}

function useEntries(text: string): readonly PaletteEntry[] {
  const [recent] = useState(readRecent);
  const latest = useLatest();
  const hits = useHits(text);
  return useMemo(() => {
    const all = [...hits.flatMap(entryOfHit), ...OWN_ENTRIES, ...entriesOfLatest(latest)];
    const known = new Set(all.map(({ id }) => id));
    const gone = recent.filter(({ id }) => !known.has(id)).flatMap(entryOfRecent);
    // With nothing typed, what was used last comes first and the long lists of the outfit are left out.
    const offered = text.trim() === '' ? [...gone, ...all].filter(isOwnOr(recent)) : [...all, ...gone];
    return entriesFor(
      text,
      offered,
      recent.map(({ id }) => id),
    );
  }, [text, hits, latest, recent]);
}

const isOwnOr = (recent: readonly Recent[]) => (entry: PaletteEntry) =>
  entry.word === 'screen' || entry.id.startsWith('do ') || recent.some(({ id }) => id === entry.id);

function Option({
  entry,
  id,
  isMeant,
  onChoose,
}: {
  readonly entry: PaletteEntry;
  readonly id: string;
  readonly isMeant: boolean;
  readonly onChoose: () => void;
}) {
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (isMeant) line.current?.scrollIntoView({ block: 'nearest' });
  }, [isMeant]);
  return (
    <div
      ref={line}
      role="option"
      id={id}
      tabIndex={-1}
      aria-selected={isMeant}
      className="palette-line"
      onPointerDown={(event) => event.preventDefault()}
      onClick={onChoose}
      onKeyDown={(event) => {
        if (event.key === 'Enter') onChoose();
      }}
    >
      <span className="palette-name">{entry.name}</span>{' '}
      {entry.facts ? <span className="palette-facts">{entry.facts}</span> : null}{' '}
      <span className="palette-word">{entry.word}</span>
    </div>
  );
}

export function Palette({ onClose, onKeys }: { readonly onClose: () => void; readonly onKeys: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const navigate = useNavigate();
  const id = useId();
  const [text, setText] = useState('');
  const [meant, setMeant] = useState(0);
  const entries = useEntries(text);
  const at = Math.min(meant, entries.length - 1);
  useEffect(() => {
    if (dialog.current?.open === false) dialog.current.showModal();
  }, []);
  const choose = (entry: PaletteEntry | undefined) => {
    if (entry === undefined) return;
    const { does, name, word } = entry;
    keepRecent({ id: entry.id, name, word, goTo: 'goTo' in does ? does.goTo : null });
    dialog.current?.close();
    if ('goTo' in does) navigate(does.goTo);
    else does.run({ goTo: navigate, showKeys: onKeys });
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const last = entries.length - 1;
    const next = new Map([
      ['ArrowDown', at >= last ? 0 : at + 1],
      ['ArrowUp', at <= 0 ? last : at - 1],
      ['PageDown', Math.min(last, at + 8)],
      ['PageUp', Math.max(0, at - 8)],
    ]).get(event.key);
    if (next !== undefined) setMeant(next);
    else if (event.key === 'Enter') choose(entries[at]);
    // At once, and not when the browser gets round to it: the next key is already for the page.
    else if (event.key === 'Escape') {
      dialog.current?.close();
      onClose();
    } else return;
    event.preventDefault();
  };
  return (
    <dialog ref={dialog} className="palette" aria-label="Go to, find or do" onClose={onClose}>
      <input
        role="combobox"
        type="text"
        maxLength={TEXT_MAX}
        aria-label="Go to, find or do"
        aria-expanded="true"
        aria-controls={`${id}-list`}
        aria-autocomplete="list"
        aria-activedescendant={entries.length > 0 ? `${id}-${at}` : undefined}
        placeholder="A screen, a thing, a place, a job, or what to do"
        autoComplete="off"
        spellCheck={false}
        value={text}
        onChange={(event) => {
          setText(event.target.value);
          setMeant(0);
        }}
        onKeyDown={onKeyDown}
      />
      <div role="listbox" id={`${id}-list`} tabIndex={-1} className="palette-list" aria-label="Offered">
        {entries.map((entry, index) => (
          <Option
            key={entry.id}
            entry={entry}
            id={`${id}-${index}`}
            isMeant={index === at}
            onChoose={() => choose(entry)}
          />
        ))}
      </div>
      <p className={entries.length === 0 ? 'palette-none' : 'unseen'} role="status">
        {entries.length === 0 ? `Nothing is known by “${text.trim()}”.` : `${entries.length} offered`}
      </p>
      <p className="palette-foot" aria-hidden="true">
        <kbd>↑</kbd> <kbd>↓</kbd> choose · <kbd>Enter</kbd> open · <kbd>Esc</kbd> close
      </p>
    </dialog>
  );
}
