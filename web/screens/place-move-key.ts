// The letter that begins a move, wherever on the screen nobody is typing.
import { useEffect, useRef } from 'react';

/** The letter m moves what is chosen, or what the keyboard is on. */
export function useMoveKey(move: () => void): void {
  const latest = useRef(move);
  latest.current = move;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const { target } = event;
      const types =
        target instanceof HTMLElement &&
        (target.matches('input:not([type="checkbox"]), textarea, select') ||
          target.closest('dialog') !== null);
      if (
        event.defaultPrevented ||
        types ||
        event.key !== 'm' ||
        event.ctrlKey ||
        event.metaKey ||
        event.altKey
      )
        return;
      event.preventDefault();
      latest.current();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);
}
