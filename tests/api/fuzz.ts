// Values made from a JSON Schema that are nearly right: each is what the schema asks for, but for one place that is spoilt.
// So they get past the first check and reach what lies behind it.
type Json = Readonly<Record<string, unknown>>;
/** A number from 0 up to 1, from a seed. */
export type Dice = () => number;

/** mulberry32, a small generator in the public domain (from memory): the same seed gives the same numbers. */
export function diceFrom(seed: number): Dice {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export const pick = <T>(from: readonly T[], dice: Dice): T | undefined =>
  from[Math.floor(dice() * from.length)];

const isRecord = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const recordsOf = (value: unknown): readonly Json[] => (Array.isArray(value) ? value.filter(isRecord) : []);

export interface Makings {
  readonly dice: Dice;
  /** Ids of records that there are, so that a value may name one, of the right kind or of another. */
  readonly ids: readonly string[];
}

// One text for each pattern that a schema asks for; what no pattern here fits is left to be wrong.
const TEXTS = [
  'EUR',
  'PT',
  '12-31',
  '02-30',
  '2026-11-25',
  '0001-01-01',
  'Europe/Lisbon',
  'Mars/North',
  'Lamp',
  '',
  ' ',
  'a'.repeat(300),
];

function makeText(schema: Json, { dice, ids }: Makings): string {
  if (schema.format === 'uuid') return pick(ids, dice) ?? '';
  const pattern = typeof schema.pattern === 'string' ? new RegExp(schema.pattern) : null;
  const fitting = pattern === null ? TEXTS : [...TEXTS, ...ids].filter((text) => pattern.test(text));
  return pick(fitting, dice) ?? 'Lamp';
}

function makeNumber(schema: Json, { dice }: Makings): number {
  const low = typeof schema.minimum === 'number' ? schema.minimum : -1_000;
  const high = typeof schema.maximum === 'number' ? schema.maximum : 1_000_000;
  return pick([low, high, Math.max(low, 0), Math.max(low, 1), Math.min(high, low + 7)], dice) ?? 0;
}

/** A value as the schema asks for it. `depth` ends recursion. */
export function makeValue(schema: Json, makings: Makings, depth = 0): unknown {
  const choices = [...recordsOf(schema.anyOf), ...recordsOf(schema.oneOf)];
  // Much may be unknown; a record that says everything contradicts itself.
  if (choices.some((choice) => choice.type === 'null') && makings.dice() < 0.7) return null;
  if (choices.length > 0) return makeValue(pick(choices, makings.dice) ?? {}, makings, depth + 1);
  if ('const' in schema) return schema.const;
  if (Array.isArray(schema.enum)) return pick(schema.enum, makings.dice);
  if (schema.type === 'string') return makeText(schema, makings);
  if (schema.type === 'integer' || schema.type === 'number') return makeNumber(schema, makings);
  if (schema.type === 'boolean') return makings.dice() < 0.5;
  if (schema.type === 'null') return null;
  if (schema.type === 'array') {
    const items = isRecord(schema.items) ? schema.items : {};
    const length = depth > 6 ? 0 : Math.max(Number(schema.minItems ?? 0), Math.floor(makings.dice() * 3));
    return Array.from({ length }, () => makeValue(items, makings, depth + 1));
  }
  if (!isRecord(schema.properties)) return {};
  const entries = Object.entries(schema.properties).map(([name, property]) => [
    name,
    isRecord(property) ? makeValue(property, makings, depth + 1) : null,
  ]);
  return Object.fromEntries(entries);
}

export const SPOILT: readonly unknown[] = [
  null,
  true,
  '',
  'x',
  'a\u0000b',
  '\ud800',
  '\u202e',
  '￿',
  'ß'.repeat(10_000),
  '2026-02-30',
  '0000-01-01',
  '00000000-0000-0000-0000-000000000000',
  '018f0000-0000-7000-8000-000000000000',
  0,
  -0,
  -1,
  0.5,
  1e308,
  9_007_199_254_740_991,
  9_007_199_254_740_992,
  2_147_483_648,
  [],
  [[[[[[]]]]]],
  {},
  { __proto__: 1 },
  { constructor: 1 },
];

/** The value with one place of it, at any depth, taken out, added to, or replaced by something unfit. */
export function spoil(value: unknown, dice: Dice): unknown {
  if (Array.isArray(value) && value.length > 0 && dice() < 0.8) {
    const at = Math.floor(dice() * value.length);
    return value.map((item, index) => (index === at ? spoil(item, dice) : item));
  }
  if (!isRecord(value) || Object.keys(value).length === 0 || dice() < 0.05) return pick(SPOILT, dice);
  const names = Object.keys(value);
  const at = pick(names, dice) ?? '';
  if (dice() < 0.1) return Object.fromEntries(Object.entries(value).filter(([name]) => name !== at));
  if (dice() < 0.1) return { ...value, unheard: pick(SPOILT, dice) };
  return { ...value, [at]: spoil(value[at], dice) };
}
