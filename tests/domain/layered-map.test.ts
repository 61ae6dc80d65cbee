import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { withEntry } from '#domain/layered-map.ts';

const anyChanges = fc.array(fc.record({ key: fc.nat({ max: 200 }), put: fc.boolean() }), {
  maxLength: 600,
  size: 'max',
});

describe('a changed copy of a map', () => {
  test('after any changes it says what a plain map says, by every way of reading it', () => {
    fc.assert(
      fc.property(anyChanges, (changes) => {
        const plain = new Map<number, { n: number }>([[7, { n: -7 }]]);
        let layered: ReadonlyMap<number, { n: number }> = new Map(plain);
        for (const [n, { key, put }] of changes.entries()) {
          if (put) plain.set(key, { n });
          else plain.delete(key);
          layered = withEntry(layered, key, put ? { n } : undefined);
        }
        expect(new Map(layered)).toEqual(plain);
        expect(layered.size).toBe(plain.size);
        expect(new Set(layered.keys())).toEqual(new Set(plain.keys()));
        expect(new Set(layered.values())).toEqual(new Set(plain.values()));
        for (let key = 0; key <= 200; key += 1) {
          expect(layered.has(key)).toBe(plain.has(key));
          expect(layered.get(key)).toEqual(plain.get(key));
        }
        const walked = new Map<number, { n: number }>();
        layered.forEach((value, key) => {
          walked.set(key, value);
        });
        expect(walked).toEqual(plain);
      }),
    );
  });

  test('the map it was made from still says what it said', () => {
    const one = withEntry(new Map<string, { n: number }>(), 'lamp', { n: 1 });
    const two = withEntry(one, 'lamp', { n: 2 });
    const none = withEntry(two, 'lamp', undefined);
    expect([one.get('lamp')?.n, two.get('lamp')?.n, none.size]).toEqual([1, 2, 0]);
  });
});
