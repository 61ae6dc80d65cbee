// Calendar dates as Prisma has them: a Date at midnight UTC. Everywhere else a date is its text, 2026-03-04, because it
// has no clock and no zone.

/** The date as text. */
export function dateTextOf(date: Date): string {
  return date.toISOString().slice(0, 10);
}

/** The date for Prisma, from a text that was checked to be one. */
export function dateFrom(text: string): Date {
  return new Date(`${text}T00:00:00Z`);
}
