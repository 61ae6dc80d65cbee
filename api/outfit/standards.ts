// Whether a currency and a time zone are ones that the standards know: ISO 4217 and the IANA time zone database, as
// the runtime has them.
import type { FieldFault } from '#domain/record.ts';

const CURRENCIES: ReadonlySet<string> = new Set(Intl.supportedValuesOf('currency'));

/** Faults of a currency code of three capital letters; empty when ISO 4217 lists it. */
export function findCurrencyFault(pointer: string, currency: string | null): FieldFault[] {
  if (currency === null || CURRENCIES.has(currency)) return [];
  return [{ pointer, detail: 'is no currency of ISO 4217; give a code such as EUR, GBP or CHF' }];
}

/** Faults of a time zone; empty when the IANA database knows it. An offset such as +02:00 is no zone: it has no summer. */
export function findZoneFault(pointer: string, zone: string | null): FieldFault[] {
  if (zone === null || isZone(zone)) return [];
  return [{ pointer, detail: 'is no time zone of the IANA database; give one such as Europe/Lisbon' }];
}

function isZone(zone: string): boolean {
  if (!/^[A-Za-z]/.test(zone)) return false;
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}
