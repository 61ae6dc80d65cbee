// Small pieces that several desk screens share.
import { type ReactNode, useEffect } from 'react';
import { Link, useOutletContext } from 'react-router';

import type { Outfit } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import { chainFrom, type Places } from '../data/places.ts';
import type { Answer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Notice } from '../look/notice.tsx';

/** Whose desk it is; there is one below the frame only. */
export function useOutfit(): Outfit {
  return useOutletContext<Outfit>();
}

/** Names the page, for the browser's history and its tabs. */
export function useTitle(title: string): void {
  const outfit = useOutletContext<Outfit | undefined>();
  const whose = outfit?.name ?? 'Tailcount';
  useEffect(() => {
    document.title = `${title} · ${whose}`;
  }, [title, whose]);
}

/** A refusal in the service's own words, with a way to try again. */
export function RefusedNotice({
  refused,
  onAgain,
}: {
  readonly refused: Refused;
  readonly onAgain?: () => void;
}) {
  return (
    <Notice kind="trouble">
      <p>{refused.sentence}</p>
      {onAgain ? <Button onClick={onAgain}>Try again</Button> : null}
    </Notice>
  );
}

/** A screen's three states in one place: still asking, refused, and the answer. */
export function Answered<T>({
  answer,
  onAgain,
  children,
}: {
  readonly answer: Answer<T>;
  readonly onAgain: () => void;
  readonly children: (body: T) => ReactNode;
}) {
  if (answer === 'loading') return <p className="waiting">Asking …</p>;
  if (!answer.ok) return <RefusedNotice refused={answer} onAgain={onAgain} />;
  return children(answer.body);
}

/** The body of an answer, or nothing while there is none: for what only adds to a screen. */
export function bodyOf<T>(answer: Answer<T>): T | null {
  return answer !== 'loading' && answer.ok ? answer.body : null;
}

/**
 * The way to a place: itself first, then what it is in, each a link into the tree. Where the screen is about one
 * vehicle, the way ends before it (`within`).
 */
export function PlaceChain({
  placeId,
  places,
  within,
}: {
  readonly placeId: string;
  readonly places: Places | null;
  readonly within?: string;
}) {
  const whole = places === null ? [] : chainFrom(placeId, places.byId);
  const end = whole.findIndex(({ id }) => id === within);
  const chain = end > 0 ? whole.slice(0, end) : whole;
  return (
    <span className="chain">
      {chain.map((place, at) => (
        <span key={place.id}>
          {at > 0 ? <span className="chain-in"> in </span> : null}
          <Link to={`/where/${place.id}`}>{place.name}</Link>
        </span>
      ))}
    </span>
  );
}

/** A table that may be wider than the window; it scrolls by itself, with the keyboard too. */
export function WideTable({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached with the keyboard (WCAG 2.1.1).
    <section className="wide-table" aria-label={name} tabIndex={0}>
      {children}
    </section>
  );
}
