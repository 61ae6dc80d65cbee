// What is written down about a thing; what nobody knows is left out.
import type { ReactNode } from 'react';
import { showTag, tagCodeSchema } from '#domain/tag-code.ts';
import type { Thing } from '#domain/thing.ts';
import { useClasses } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { Tape } from '../look/tape.tsx';
import { PlaceChain, useOutfit } from './parts.tsx';
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

/** Tags as people read them, with their dashes; other codes as they are. */
export function showCode(code: string): string {
  const tag = tagCodeSchema.safeParse(code);
  return tag.success ? showTag(tag.data) : code;
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

function ownershipOf(thing: Thing, places: Places | null, currency: string): readonly Fact[] {
  const fee =
    thing.feeMinor === null
      ? null
      : `${showMoney({ minor: thing.feeMinor, currency })} a ${thing.feePer ?? 'day'}`;
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

interface Around {
  readonly places: Places | null;
  readonly className: string | undefined;
  /** The outfit's own. */
  readonly currency: string;
}

function factsOf(thing: Thing, { places, className, currency }: Around): readonly Fact[] {
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
    ...ownershipOf(thing, places, currency),
    { name: 'Lives in', value: homesOf(thing, places) },
    { name: 'Holds others', value: thing.container ? 'yes' : null },
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
  const { currency } = useOutfit();
  const known = factsOf(thing, { places, className, currency }).filter(({ value }) => Boolean(value));
  const isBattery = thing.chemistry?.startsWith('lithium') ?? false;
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
      {isBattery ? (
        <p className="small">
          Lithium batteries: for charging and flying, the maker’s and the carrier’s rules and the law of the
          place decide.
        </p>
      ) : null}
    </section>
  );
}
