// How a count went, in a line: its link, its state and its sums. Jobs, stops and the list of counts say it alike.
import { Link } from 'react-router';
import type { CountEntry } from '../data/counts.ts';
import { showClock } from './when.ts';

export const pathOfCount = ({ stopId, round }: Pick<CountEntry, 'stopId' | 'round'>) =>
  `/counts/${stopId}/${round}`;

/** "317 of 318 aboard", "1 not found yet": only sums that say something. */
export function wordsOfSums({ sums }: CountEntry): readonly string[] {
  if (sums === null) return [];
  return [
    `${sums.aboard} of ${sums.expected} aboard`,
    sums.away > 0 ? `${sums.away} away on purpose` : '',
    sums.notOpened > 0 ? `${sums.notOpened} not opened` : '',
  ].filter(Boolean);
}

/** One count of a stop. */
export function CountWords({ count }: { readonly count: CountEntry }) {
  const { closedAt, openedAt, zone, sums, round } = count;
  const name = round === 1 ? 'Count' : `Count, round ${round}`;
  return (
    <p className="count-words">
      <Link to={pathOfCount(count)}>{name}</Link>{' '}
      {closedAt === null ? (
        <span className="tone-ask strong">opened {showClock(openedAt, zone)}, not closed yet</span>
      ) : (
        <span>
          closed {showClock(closedAt, zone)} · {wordsOfSums(count).join(' · ')}
        </span>
      )}
      {sums !== null && sums.notFound > 0 ? (
        <span className="tone-bad strong"> · {sums.notFound} not found yet</span>
      ) : null}
    </p>
  );
}
