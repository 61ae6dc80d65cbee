// The still-out-there list in groups: by what comes first, by place, by person, by age. The address keeps which.
import { AGES, type Age, ageOf, type OutLine } from '#domain/out-line.ts';
import { chainFrom, type Places } from '../data/places.ts';

export const GROUPINGS = ['urgency', 'place', 'person', 'age'] as const;
export type Grouping = (typeof GROUPINGS)[number];
export const WORD_OF_GROUPING: Readonly<Record<Grouping, string>> = {
  urgency: 'what comes first',
  place: 'place',
  person: 'person',
  age: 'age',
};

export interface OutGroup {
  readonly key: string;
  readonly name: string;
  readonly lines: readonly OutLine[];
}

interface Names {
  readonly places: Places | null;
  readonly people: ReadonlyMap<string, { readonly name: string }>;
}

const MISSING: ReadonlySet<OutLine['why']> = new Set(['not-found', 'did-not-come']);
export const isMissing = (line: OutLine): boolean => MISSING.has(line.why);

/** What names one line in a list: a thing may be out in several ways and places. */
export const keyOf = (line: OutLine): string => `${line.thingId}/${line.lineId ?? ''}/${line.placeId ?? ''}`;

const WORD_OF_AGE: Readonly<Record<Age, string>> = {
  'under-a-day': 'Less than a day',
  week: 'Up to a week',
  month: 'Up to 30 days',
  longer: 'Longer than 30 days',
  'not-known': 'Nobody knows since when',
};

function urgencyOf(line: OutLine): readonly [string, string] {
  if (isMissing(line)) return ['0', 'Not found yet'];
  return line.why === 'overdue' ? ['2', 'Overdue'] : ['1', 'Left, lent or with somebody'];
}

/** The outermost place it is in, but inside a vehicle the vehicle: where one would have to go. */
function placeOf(line: OutLine, { places }: Names): readonly [string, string] {
  if (line.placeId === null || places === null) return ['~', 'Nobody knows where'];
  const chain = chainFrom(line.placeId, places.byId);
  const goal = chain.find(({ kind }) => kind === 'vehicle') ?? chain.at(-1);
  return goal === undefined ? ['~', 'Nobody knows where'] : [goal.name + goal.id, goal.name];
}

/** Who has it; else who put it down last. */
function personOf(line: OutLine, { places, people }: Names): readonly [string, string] {
  const holder = line.placeId === null ? undefined : places?.byId.get(line.placeId);
  if (holder?.kind === 'party') return [`0${holder.name}${holder.id}`, `With ${holder.name}`];
  const spot = line.spot?.trim() ?? '';
  if (line.why === 'with-somebody' && spot !== '') return [`0${spot}`, spot.replace(/^with /, 'With ')];
  const person = people.get(line.personId ?? '')?.name;
  return person === undefined
    ? ['2', 'Nobody knows who put it down']
    : [`1${person}`, `Put down by ${person}`];
}

function groupOf(line: OutLine, by: Grouping, names: Names): readonly [string, string] {
  if (by === 'urgency') return urgencyOf(line);
  if (by === 'place') return placeOf(line, names);
  if (by === 'person') return personOf(line, names);
  const age = ageOf(line.days);
  // The oldest first: it is the likeliest to be lost.
  return [age === 'not-known' ? '~' : String(AGES.length - AGES.indexOf(age)), WORD_OF_AGE[age]];
}

/** The groups in their order; inside each the lines keep theirs, the most urgent first. */
export function groupsOf(lines: readonly OutLine[], by: Grouping, names: Names): readonly OutGroup[] {
  const groups = new Map<string, { key: string; name: string; lines: OutLine[] }>();
  for (const line of lines) {
    const [key, name] = groupOf(line, by, names);
    const group = groups.get(key) ?? { key, name, lines: [] };
    group.lines.push(line);
    groups.set(key, group);
  }
  return [...groups.values()].sort((a, b) => a.key.localeCompare(b.key));
}
