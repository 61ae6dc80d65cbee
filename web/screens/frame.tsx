// The frame around every desk screen: the outfit's name, where one can go, one search, and keys for all of it.
import './frame.css';
import { Suspense, useEffect, useRef, useState } from 'react';
import { NavLink, Outlet, useLocation, useNavigate, useSearchParams } from 'react-router';
import type { Outfit } from '#domain/place.ts';
import { useConnected } from '../data/changes.ts';
import { Icon } from '../look/icon.tsx';
import { chooseTheme, readTheme, type Theme } from '../look/theme.ts';
import { SCREENS } from './screens.ts';

const THEMES: readonly (readonly [Theme, string])[] = [
  ['as-device', 'as this device'],
  ['light', 'light'],
  ['dark', 'dark'],
];
// Long enough not to ask at every letter, short enough not to be waited for.
const TYPING_PAUSE_MS = 180;

function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName))
  );
}

/** One letter goes to a screen, "/" to the search; never while somebody types or moves in the tree. */
function useKeys(search: { readonly current: HTMLInputElement | null }) {
  const navigate = useNavigate();
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target))
        return;
      const screen = SCREENS.find(({ key }) => key === event.key);
      if (event.key === '/') search.current?.focus();
      else if (screen) navigate(screen.path);
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [navigate, search]);
}

/** The search follows what is typed after a short pause; one entry of the history for one search. */
function SearchBox() {
  const input = useRef<HTMLInputElement>(null);
  const pause = useRef<ReturnType<typeof setTimeout>>(undefined);
  const navigate = useNavigate();
  const isFinding = useLocation().pathname === '/find';
  const [query] = useSearchParams();
  const asked = isFinding ? (query.get('q') ?? '') : '';
  useKeys(input);
  useEffect(() => {
    if (input.current && document.activeElement !== input.current) input.current.value = asked;
  }, [asked]);
  useEffect(() => () => clearTimeout(pause.current), []);
  const find = () => {
    clearTimeout(pause.current);
    const text = input.current?.value ?? '';
    if (text !== asked) navigate(`/find?q=${encodeURIComponent(text)}`, { replace: isFinding });
  };
  const findSoon = () => {
    clearTimeout(pause.current);
    pause.current = setTimeout(find, TYPING_PAUSE_MS);
  };
  return (
    <search className="frame-search">
      <form
        onSubmit={(event) => {
          event.preventDefault();
          find();
        }}
      >
        <Icon name="find" />
        <input
          ref={input}
          type="search"
          name="q"
          maxLength={200}
          defaultValue={asked}
          aria-label="Find a thing or a place"
          placeholder="Find a thing or a place"
          aria-keyshortcuts="/"
          onInput={findSoon}
        />
      </form>
    </search>
  );
}

function ThemeChoice() {
  const [theme, setTheme] = useState(readTheme);
  return (
    <label className="frame-theme">
      Light or dark
      <select
        value={theme}
        onChange={(event) => {
          const chosen = THEMES.find(([key]) => key === event.target.value)?.[0] ?? 'as-device';
          setTheme(chosen);
          chooseTheme(chosen);
        }}
      >
        {THEMES.map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}

function FrameHead({ outfit }: { readonly outfit: Outfit }) {
  return (
    <header className="frame-head">
      <p className="frame-name">
        <span className="tape">{outfit.name}</span>
        {outfit.demo ? <span className="frame-demo">demo</span> : null}
      </p>
      <nav aria-label="Screens" className="frame-nav">
        {SCREENS.map(({ path, name, key }) => (
          <NavLink key={path} to={path} aria-keyshortcuts={key}>
            {name}
          </NavLink>
        ))}
        <a href="/scan/">Phone page</a>
      </nav>
      <SearchBox />
    </header>
  );
}

export function FrameLayout({ outfit }: { readonly outfit: Outfit }) {
  const connected = useConnected();
  return (
    <div className="frame">
      <a href="#screen" className="unseen frame-skip">
        To the screen
      </a>
      <FrameHead outfit={outfit} />
      {connected ? null : (
        <p className="frame-away" role="status">
          <Icon name="offline" /> The service does not answer. What you see is what it said last; it is asked
          again by itself.
        </p>
      )}
      <main id="screen" tabIndex={-1}>
        <Suspense fallback={<p className="waiting">Opening …</p>}>
          <Outlet context={outfit} />
        </Suspense>
      </main>
      <footer className="frame-foot not-on-paper">
        <p>
          Keys: <kbd>/</kbd> find ·{' '}
          {SCREENS.map(({ key, name }) => (
            <span key={key}>
              <kbd>{key}</kbd> {name.toLowerCase()}{' '}
            </span>
          ))}
        </p>
        <ThemeChoice />
      </footer>
    </div>
  );
}
