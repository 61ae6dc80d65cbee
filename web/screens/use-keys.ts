// The keys that work on every screen: one letter goes to a screen, "/" to the search, Ctrl or ⌘ with K to everything.
import { useEffect } from 'react';
import { useNavigate } from 'react-router';
import { FIND, SCREENS } from './screens.ts';

function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName))
  );
}

/** In a question that has to be answered first, no key leads away from it. */
function isAsking(): boolean {
  return document.querySelector('dialog[open]') !== null;
}

interface Deeds {
  readonly find: () => void;
  readonly openPalette: () => void;
  readonly openKeys: () => void;
}

/** Single letters are left alone while somebody types, and where a screen has used the key itself. */
export function useKeys({ find, openPalette, openKeys }: Deeds): void {
  const navigate = useNavigate();
  useEffect(() => {
    const deedOf = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.altKey || isAsking()) return undefined;
      if (event.ctrlKey || event.metaKey) return event.key.toLowerCase() === 'k' ? openPalette : undefined;
      if (isTyping(event.target)) return undefined;
      if (event.key === '?') return openKeys;
      if (event.key === FIND.key) return find;
      const screen = SCREENS.find(({ key }) => key === event.key);
      return screen && (() => navigate(screen.path));
    };
    const onKey = (event: KeyboardEvent) => {
      const deed = deedOf(event);
      if (deed === undefined) return;
      event.preventDefault();
      deed();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [navigate, find, openPalette, openKeys]);
}
