// The calendar date that it is in a zone.

/** The date at `at` (UTC ms) in a zone of the IANA database that this machine knows: 2026-11-25. */
export function dateIn(zone: string, at: number): string {
  const format = new Intl.DateTimeFormat('en-u-ca-iso8601-nu-latn', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  });
  const read = new Map(format.formatToParts(at).map(({ type, value }) => [type, value]));
  return `${(read.get('year') ?? '').padStart(4, '0')}-${read.get('month')}-${read.get('day')}`;
}
