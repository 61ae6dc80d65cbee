// The one search of the head. What is typed stands in the address, so that it can be kept, shared and gone back to.
import { type RefObject, useEffect, useRef } from 'react';
import { useLocation, useNavigate, useSearchParams } from 'react-router';
import { Icon } from '../look/icon.tsx';

// Long enough not to ask at every letter, short enough not to be waited for.
const TYPING_PAUSE_MS = 150;

/** From the field to the first line that was found, for whoever does not use a mouse. */
function goToFirstFound(): boolean {
  const first = document.querySelector<HTMLElement>('[data-found]');
  first?.focus();
  return first !== null;
}

/** The search follows what is typed after a short pause; one entry of the history for one search. */
export function SearchBox({ input }: { readonly input: RefObject<HTMLInputElement | null> }) {
  const pause = useRef<ReturnType<typeof setTimeout>>(undefined);
  const navigate = useNavigate();
  const isFinding = useLocation().pathname === '/find';
  const [query] = useSearchParams();
  const asked = isFinding ? (query.get('q') ?? '') : '';
  useEffect(() => {
    if (input.current && document.activeElement !== input.current) input.current.value = asked;
  }, [asked, input]);
  useEffect(() => () => clearTimeout(pause.current), []);
  const find = () => {
    clearTimeout(pause.current);
    const text = input.current?.value ?? '';
    if (text === asked && isFinding) return;
    // Filters that were set stay; a page that was turned does not.
    const next = new URLSearchParams(isFinding ? query : undefined);
    next.delete('after');
    if (text === '') next.delete('q');
    else next.set('q', text);
    navigate(`/find?${next}`, { replace: isFinding });
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
          autoComplete="off"
          spellCheck={false}
          onInput={findSoon}
          onKeyDown={(event) => {
            if (event.key === 'ArrowDown' && goToFirstFound()) event.preventDefault();
          }}
        />
      </form>
    </search>
  );
}
