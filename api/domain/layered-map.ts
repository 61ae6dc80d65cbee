// A map with a few entries laid over a large one, so that a changed copy costs as little as the change. The map it
// was made from still says what it said.

// So many entries are copied for each change; one in so many changes copies the whole map.
const LAYER_MAX = 128;

class LayeredMap<K, V extends object> implements ReadonlyMap<K, V> {
  readonly size: number;

  constructor(
    readonly under: ReadonlyMap<K, V>,
    /** `undefined` hides an entry of the map below. */
    readonly over: ReadonlyMap<K, V | undefined>,
  ) {
    let size = under.size;
    for (const [key, value] of over) size += Number(value !== undefined) - Number(under.has(key));
    this.size = size;
  }

  get(key: K): V | undefined {
    return this.over.has(key) ? this.over.get(key) : this.under.get(key);
  }

  has(key: K): boolean {
    return this.get(key) !== undefined;
  }

  *entries(): Generator<[K, V], undefined, unknown> {
    for (const [key, value] of this.under) if (!this.over.has(key)) yield [key, value];
    for (const [key, value] of this.over) if (value !== undefined) yield [key, value];
    return undefined;
  }

  *keys(): Generator<K, undefined, unknown> {
    for (const [key] of this.entries()) yield key;
    return undefined;
  }

  *values(): Generator<V, undefined, unknown> {
    for (const [, value] of this.entries()) yield value;
    return undefined;
  }

  [Symbol.iterator](): Generator<[K, V], undefined, unknown> {
    return this.entries();
  }

  forEach(call: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (const [key, value] of this.entries()) call(value, key, this);
  }
}

/**
 * The map with this entry put in, or taken out where `value` is undefined. Entries that were changed come last
 * when it is walked through.
 */
export function withEntry<K, V extends object>(
  map: ReadonlyMap<K, V>,
  key: K,
  value: V | undefined,
): ReadonlyMap<K, V> {
  if (value === undefined && !map.has(key)) return map;
  if (!(map instanceof LayeredMap)) return new LayeredMap(map, new Map([[key, value]]));
  const layered: LayeredMap<K, V> = map;
  if (layered.over.size < LAYER_MAX) {
    return new LayeredMap(layered.under, new Map(layered.over).set(key, value));
  }
  return new LayeredMap(new Map(layered), new Map([[key, value]]));
}
