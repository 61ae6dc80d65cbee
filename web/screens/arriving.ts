// What a browser does by itself between pages and a page made of screens has to do: the focus goes to the heading of the
// new screen, and back shows a screen where one had left it.
import { type RefObject, useEffect, useLayoutEffect, useRef } from 'react';
import { useLocation, useNavigationType } from 'react-router';

// A screen that asks the service shows its heading a little later; after this long nobody waits for it any more.
const WAIT_MS_MAX = 4_000;

/** Calls `look` now and at every change below `root` until it says that it is done, or time is up. The way to stop. */
function watchUntil(root: HTMLElement, look: () => boolean): () => void {
  if (look()) return () => undefined;
  const stop = () => {
    seen.disconnect();
    clearTimeout(timer);
  };
  const seen = new MutationObserver(() => {
    if (look()) stop();
  });
  const timer = setTimeout(stop, WAIT_MS_MAX);
  seen.observe(root, { childList: true, subtree: true });
  return stop;
}

/** Where somebody types, or moves in a tree that stays, the focus is theirs. */
function isHeld(screen: HTMLElement): boolean {
  const held = document.activeElement;
  if (held === null || held === document.body) return false;
  return screen.contains(held) || held.matches('input, select, textarea') || held.closest('dialog') !== null;
}

/** After going to another screen its heading has the focus, so that it is read out and Tab goes on from there. */
export function useArrivingFocus(screen: RefObject<HTMLElement | null>): void {
  const { pathname } = useLocation();
  const first = useRef(pathname);
  useEffect(() => {
    const root = screen.current;
    // The browser itself reads out a page that was just opened.
    if (root === null || first.current === pathname) return;
    first.current = '';
    return watchUntil(root, () => {
      const heading = root.querySelector<HTMLElement>('h1');
      if (document.activeElement === heading && heading !== null) return false;
      if (isHeld(root)) return true;
      if (heading === null) return false;
      heading.tabIndex = -1;
      heading.focus({ preventScroll: true });
      // A screen may draw its heading anew when the answer comes, and the focus goes with the old one.
      return false;
    });
  }, [pathname, screen]);
}

const leftAt = new Map<string, number>();

/** Back and forward show a screen where it was left; a new screen is shown from its top. */
export function useKeptScroll(screen: RefObject<HTMLElement | null>): void {
  const { key, pathname } = useLocation();
  const way = useNavigationType();
  const before = useRef(pathname);
  useEffect(() => {
    window.history.scrollRestoration = 'manual';
  }, []);
  useLayoutEffect(() => {
    const root = screen.current;
    const isOther = before.current !== pathname;
    before.current = pathname;
    const goal = way === 'POP' ? (leftAt.get(key) ?? 0) : 0;
    const remember = () => leftAt.set(key, window.scrollY);
    let stop: () => void = () => undefined;
    if (goal === 0) {
      if (isOther) window.scrollTo(0, 0);
    } else if (root !== null) {
      stop = watchUntil(root, () => {
        window.scrollTo(0, goal);
        return window.scrollY >= goal - 1;
      });
    }
    window.addEventListener('scroll', remember, { passive: true });
    // Whoever scrolls by hand meanwhile is not pulled back.
    const leave = () => stop();
    window.addEventListener('wheel', leave, { passive: true });
    window.addEventListener('keydown', leave);
    return () => {
      stop();
      window.removeEventListener('scroll', remember);
      window.removeEventListener('wheel', leave);
      window.removeEventListener('keydown', leave);
    };
  }, [key, pathname, way, screen]);
}
