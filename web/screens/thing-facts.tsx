// What is written down about a thing; what nobody knows is left out.
import type { ReactNode } from 'react';
import { Link } from 'react-router';
import type { Thing } from '#domain/thing.ts';
import { useClasses } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { Tape } from '../look/tape.tsx';
import { PlaceChain } from './parts.tsx';
import { showDate, showMoney, WORD_OF_CHECK, WORD_OF_WHOSE } from './words.ts';

interface Fact {
  readonly name: string;
  readonly value: ReactNode;
}

const GRAMS_OF_KILOGRAM = 1_000;

function showWeight(grams: number): string {
  return grams < GRAMS_OF_KILOGRAM
    ? `${grams} g`
    : `${new Intl.NumberFormat(undefined, { maximumFractionDigits: 3 }).format(grams / GRAMS_OF_KILOGRAM)} kg`;
}

function codeLinks(codes: readonly string[]): ReactNode {
  if (codes.length === 0) return null;
  return codes.map((code) => (
    <span key={code} className="code-link">
      <span className="code">{code}</span>
    </span>
  ));
}

function homesOf(thing: Thing, places: Places | null): ReactNode {
  if (thing.homes.length === 0) return null;
  return thing.homes.map(({ way, placeId, number }) => (
    <span key={`${way}/${placeId}`} className="whereabouts">
      {thing.kind === 'item' ? '' : `${number} × `}
      <PlaceChain placeId={placeId} places={places} />
      {way === 'flying' ? <span className="small"> when flying</span> : null}
    </span>
  ));
}

function ownershipOf(thing: Thing, places: Places | null): readonly Fact[] {
  const fee =
    thing.feeMinor === null || thing.purchaseCurrency === null
      ? null
      : `${showMoney({ minor: thing.feeMinor, currency: thing.purchaseCurrency })} a ${thing.feePer ?? 'day'}`;
  return [
    { name: 'Whose', value: WORD_OF_WHOSE[thing.whose] },
    {
      name: 'Owner',
      value: thing.ownerPlaceId ? <PlaceChain placeId={thing.ownerPlaceId} places={places} /> : null,
    },
    { name: 'From', value: thing.whoseFrom && showDate(thing.whoseFrom) },
    { name: 'Until', value: thing.whoseUntil && showDate(thing.whoseUntil) },
    { name: 'Fee', value: fee },
  ];
}

function batteryOf(thing: Thing): readonly Fact[] {
  const electric = [
    thing.wattHours === null ? null : `${thing.wattHours} Wh`,
    thing.volts === null ? null : `${thing.volts} V`,
    thing.ampereHours === null ? null : `${thing.ampereHours} Ah`,
  ].filter(Boolean);
  return [
    { name: 'Battery', value: [thing.chemistry, ...electric].filter(Boolean).join(', ') },
    { name: 'Charged', value: thing.cycles === null ? null : `${thing.cycles} times` },
  ];
}

function factsOf(thing: Thing, places: Places | null, className: string | undefined): readonly Fact[] {
  const size = [thing.widthMm, thing.heightMm, thing.depthMm];
  const purchase =
    thing.purchaseMinor === null || thing.purchaseCurrency === null
      ? null
      : showMoney({ minor: thing.purchaseMinor, currency: thing.purchaseCurrency });
  const bought = [purchase, thing.purchasedOn && showDate(thing.purchasedOn), thing.purchasedFrom];
  return [
    { name: 'Class', value: className },
    { name: 'Maker', value: thing.maker },
    { name: 'Model', value: thing.model },
    { name: 'Serial number', value: thing.serial && <span className="code">{thing.serial}</span> },
    { name: 'Codes', value: codeLinks(thing.codes) },
    ...ownershipOf(thing, places),
    { name: 'Lives in', value: homesOf(thing, places) },
    {
      name: 'Built on',
      value: thing.builtOnId && <Link to={`/things/${thing.builtOnId}`}>its main thing</Link>,
    },
    { name: 'Checked at wrap', value: thing.check && WORD_OF_CHECK[thing.check] },
    { name: 'Bought', value: bought.filter(Boolean).join(', ') },
    { name: 'Weight', value: thing.weightGrams === null ? null : showWeight(thing.weightGrams) },
    { name: 'Size', value: size.every((side) => side !== null) ? `${size.join(' × ')} mm` : null },
    { name: 'Made in', value: thing.country },
    ...batteryOf(thing),
    { name: 'Should be there', value: thing.par === null ? null : `${thing.par} ${thing.unit ?? ''}` },
    { name: 'Description', value: thing.description },
    { name: 'Note', value: thing.note },
  ];
}

export function ThingFacts({ thing, places }: { readonly thing: Thing; readonly places: Places | null }) {
  const className = useClasses().get(thing.classId ?? '')?.name;
  const known = factsOf(thing, places, className).filter(({ value }) => Boolean(value));
  const isBattery = thing.chemistry?.startsWith('lithium') ?? false;
  const labelled = thing.codes.filter((code) => code.length > 0);
  return (
    <section aria-labelledby="facts">
      <Tape level={2} id="facts">
        Facts
      </Tape>
      <dl className="facts">
        {known.map(({ name, value }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {labelled.length > 0 ? (
        <p className="small not-on-paper">
          <Link to={`/tags/label/${thing.id}`}>Labels to print</Link>
        </p>
      ) : null}
      {isBattery ? (
        <p className="small">
          Lithium batteries: for charging and flying, the maker’s and the carrier’s rules and the law of the
          place decide.
        </p>
      ) : null}
    </section>
  );
}
