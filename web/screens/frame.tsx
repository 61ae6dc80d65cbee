// The frame around every desk screen: its head, the screen, and keys for all of it.
import './frame.css';
import { lazy, Suspense, useCallback, useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { Outlet, useLocation } from 'react-router';
import type { Outfit } from '#domain/place.ts';
import { useConnected } from '../data/changes.ts';
import { Icon } from '../look/icon.tsx';
import { chooseTheme, onThemeShown, shownTheme, type Theme } from '../look/theme.ts';
import { useArrivingFocus, useKeptScroll } from './arriving.ts';
import { FrameHead } from './frame-head.tsx';
import { KeyList, PALETTE_KEY } from './keys.tsx';
import { Mishap } from './mishap.tsx';
import { useKeys } from './use-keys.ts';

const THEMES: readonly (readonly [Theme, string])[] = [
  ['as-device', 'as this device'],
  ['light', 'light'],
  ['dark', 'dark'],
];
// Fetched while nobody waits for it, so that the first letters typed are not lost.
const PALETTE_FETCHED_AFTER_MS = 1_500;
const loadPalette = () => import('./palette.tsx');
// Where it cannot be fetched, the screens go on without it.
const loadNotice = () =>
  import('./backup-notice.tsx').then(
    ({ BackupNotice }) => BackupNotice,
    () => () => null,
  );
const BackupNotice = lazy(async () => ({ default: await loadNotice() }));
const Palette = lazy(async () => ({ default: (await loadPalette()).Palette }));

function ThemeChoice() {
  const theme = useSyncExternalStore(onThemeShown, shownTheme);
  return (
    <label className="frame-theme">
      Light or dark
      <select
        value={theme}
        onChange={(event) =>
          chooseTheme(THEMES.find(([key]) => key === event.target.value)?.[0] ?? 'as-device')
        }
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

function FrameFoot({ onKeys }: { readonly onKeys: () => void }) {
  return (
    <footer className="frame-foot not-on-paper">
      <p>
        <kbd>/</kbd> find <kbd>{PALETTE_KEY}</kbd> go to{' '}
        <button type="button" className="quiet" aria-keyshortcuts="?" onClick={onKeys}>
          <kbd>?</kbd> all keys
        </button>
      </p>
      <ThemeChoice />
    </footer>
  );
}

/** What is laid over the screen: everything by typing, or the list of keys. */
function useOver() {
  const [over, setOver] = useState<'nothing' | 'palette' | 'keys'>('nothing');
  const openPalette = useCallback(() => setOver('palette'), []);
  const openKeys = useCallback(() => setOver('keys'), []);
  // A palette that closes because it opens the keys does not close those.
  const close = useCallback(
    (what: 'palette' | 'keys') => setOver((now) => (now === what ? 'nothing' : now)),
    [],
  );
  useEffect(() => {
    const soon = setTimeout(() => void loadPalette(), PALETTE_FETCHED_AFTER_MS);
    return () => clearTimeout(soon);
  }, []);
  return { over, openPalette, openKeys, close };
}

export function FrameLayout({ outfit }: { readonly outfit: Outfit }) {
  const connected = useConnected();
  const { pathname } = useLocation();
  const input = useRef<HTMLInputElement>(null);
  const screen = useRef<HTMLElement>(null);
  const { over, openPalette, openKeys, close } = useOver();
  const find = useCallback(() => {
    input.current?.focus();
    input.current?.select();
  }, []);
  useKeys({ find, openPalette, openKeys });
  useArrivingFocus(screen);
  useKeptScroll(screen);
  return (
    <div className="frame">
      <a href="#screen" className="unseen frame-skip">
        To the screen
      </a>
      <FrameHead outfit={outfit} input={input} onPalette={openPalette} />
      {connected ? null : (
        <p className="frame-away" role="status">
          <Icon name="offline" /> The service does not answer. What you see is what it said last; it is asked
          again by itself.
        </p>
      )}
      <Suspense fallback={null}>
        <BackupNotice />
      </Suspense>
      <main id="screen" ref={screen} tabIndex={-1}>
        <Mishap at={pathname}>
          <Suspense fallback={<p className="waiting">Opening …</p>}>
            <Outlet context={outfit} />
          </Suspense>
        </Mishap>
      </main>
      <FrameFoot onKeys={openKeys} />
      {over === 'palette' ? (
        <Mishap at={pathname}>
          <Suspense fallback={null}>
            <Palette onClose={() => close('palette')} onKeys={openKeys} />
          </Suspense>
        </Mishap>
      ) : null}
      {over === 'keys' ? <KeyList onClose={() => close('keys')} /> : null}
    </div>
  );
}
