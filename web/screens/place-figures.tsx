// A place's numbers in words: value with its estimate, and what is open.

import type { Money } from '#domain/thing.ts';
import type { Figures } from '#domain/where.ts';
import { addMoney } from '#domain/where.ts';
import { showMoney, showNumber } from './words.ts';

/** Money without the minor unit, for a column that is read at a glance. */
export function showRound({ minor, currency }: Money): string {
  const style = { style: 'currency', currency } as const;
  const digits = new Intl.NumberFormat(undefined, style).resolvedOptions().maximumFractionDigits ?? 2;
  return new Intl.NumberFormat(undefined, { ...style, maximumFractionDigits: 0 }).format(
    minor / 10 ** digits,
  );
}

/** The open matters of a place, in words; empty where nothing is open. */
export function sayMatters({ faulty, notFound, overdue }: Figures): string {
  return [
    notFound > 0 ? `${showNumber(notFound)} not found yet` : '',
    faulty > 0 ? `${showNumber(faulty)} faulty` : '',
    overdue > 0 ? `${showNumber(overdue)} overdue` : '',
  ]
    .filter((words) => words !== '')
    .join(' · ');
}

/** The value in a row of the tree: one's own things and sundries together, the outfit's currency first. */
export function RoundValue({ figures, currency }: { readonly figures: Figures; readonly currency: string }) {
  const sums = addMoney(figures.worth, figures.estimate).filter(({ minor }) => minor > 0);
  const own = sums.filter((sum) => sum.currency === currency);
  const shown = [...own, ...sums.filter((sum) => sum.currency !== currency)];
  if (shown.length === 0) return null;
  return (
    <>
      {figures.estimate.length > 0 ? (
        <>
          <span aria-hidden="true">≈ </span>
          <span className="unseen">with an estimate </span>
        </>
      ) : null}
      {shown.map(showRound).join(' + ')}
    </>
  );
}

const sayMoney = (sums: readonly Money[]): string => sums.map(showMoney).join(' + ');

/** What is in a place, in one line: things, value, sundries as an estimate, open matters. */
export function FiguresLine({ figures }: { readonly figures: Figures }) {
  const { things, worth, estimate } = figures;
  const matters = sayMatters(figures);
  return (
    <dl className="place-sums">
      <div>
        <dt>Things in it</dt>
        <dd className="number">{showNumber(things)}</dd>
      </div>
      <div>
        <dt>Replacement value</dt>
        <dd className="number">{worth.length === 0 ? 'not known' : sayMoney(worth)}</dd>
      </div>
      {estimate.length > 0 ? (
        <div>
          <dt>Sundries, an estimate</dt>
          <dd className="number">{sayMoney(estimate)}</dd>
        </div>
      ) : null}
      <div>
        <dt>Open</dt>
        <dd className={matters === '' ? '' : 'tone-bad strong'}>{matters === '' ? 'nothing' : matters}</dd>
      </div>
    </dl>
  );
}
