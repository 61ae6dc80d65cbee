// The head of every screen: whose desk it is, one search, everything by typing, and the screens as strips of tape.
import { type RefObject, useState } from 'react';
import { NavLink, useLocation } from 'react-router';
import type { Outfit } from '#domain/place.ts';
import { Icon } from '../look/icon.tsx';
import { SearchBox } from './frame-search.tsx';
import { PALETTE_KEY } from './keys.tsx';
import { SCREENS, type ScreenEntry } from './screens.ts';
import { MatterMark } from './to-look-at-mark.tsx';

function ScreenLink({
  screen: { path, name, key, seldom },
  onGo,
}: {
  readonly screen: ScreenEntry;
  readonly onGo: () => void;
}) {
  return (
    <NavLink to={path} aria-keyshortcuts={key} className={seldom ? 'frame-seldom' : ''} onClick={onGo}>
      {name}
      {path === '/to-look-at' ? <MatterMark /> : null}
    </NavLink>
  );
}

/** On a narrow screen the strips are folded behind one button, which says where one is. */
function Screens() {
  const { pathname } = useLocation();
  const [open, setOpen] = useState(false);
  const here = SCREENS.find(({ path }) => pathname.startsWith(path))?.name ?? 'Screens';
  const daily = SCREENS.filter(({ seldom }) => !seldom);
  const seldom = SCREENS.filter((screen) => screen.seldom);
  return (
    <>
      <button
        type="button"
        className="frame-fold"
        aria-expanded={open}
        aria-controls="screens"
        onClick={() => setOpen(!open)}
      >
        <span className="unseen">Screens, now </span>
        {here} <span aria-hidden="true">{open ? '▴' : '▾'}</span>
      </button>
      <nav id="screens" aria-label="Screens" className={open ? 'frame-nav is-open' : 'frame-nav'}>
        {[...daily, ...seldom].map((screen) => (
          <ScreenLink key={screen.path} screen={screen} onGo={() => setOpen(false)} />
        ))}
        <a href="/scan/" className="frame-seldom">
          Phone page
        </a>
      </nav>
    </>
  );
}

export function FrameHead({
  outfit,
  input,
  onPalette,
}: {
  readonly outfit: Outfit;
  readonly input: RefObject<HTMLInputElement | null>;
  readonly onPalette: () => void;
}) {
  return (
    <header className="frame-head">
      <p className="frame-name">
        <span className="tape">{outfit.name}</span>
        {outfit.demo ? <span className="frame-demo">demo</span> : null}
      </p>
      <SearchBox input={input} />
      <button type="button" className="frame-all" aria-keyshortcuts="Control+K Meta+K" onClick={onPalette}>
        <Icon name="type" /> <span>Go to</span> <kbd>{PALETTE_KEY}</kbd>
      </button>
      <Screens />
    </header>
  );
}
