// The GS1 check digit against published numbers.
import { describe, expect, it } from 'vitest';
import { gs1CheckDigitOf, gtin14Of, isGtin } from '#domain/gtin.ts';
import published from '../check-values/gs1-check-digit.json' with { type: 'json' };

describe('product numbers', () => {
  it.each(published.examples)('$kind $payload has the check digit $check ($source)', ({ payload, check }) => {
    expect(gs1CheckDigitOf(payload)).toBe(check);
  });

  it.each(published.examples.filter((row) => row.kind.startsWith('GTIN')))(
    '$kind $payload: no other digit passes',
    ({ payload, check }) => {
      const passing = [...'0123456789'].filter((digit) => isGtin(`${payload}${digit}`));
      expect(passing).toEqual([check]);
    },
  );

  it('keeps a 12-digit code and the same code with a leading zero as one product', () => {
    expect(gtin14Of('036000241457')).toBe('00036000241457');
    expect(gtin14Of('0036000241457')).toBe('00036000241457');
  });

  it.each([
    '',
    '1234567',
    '12345678901',
    '629104150021X',
    ' 6291041500213',
    '６２９１０４１５００２１３',
    '106141411234567897',
  ])('does not take "%s" for a product number', (text) => {
    expect(gtin14Of(text)).toBeNull();
  });
});
