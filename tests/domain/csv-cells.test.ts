// Numbers, dates, money, weights and headings as people write them.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countryOf, makeCountryTable } from '#domain/csv/country.ts';
import { dateOrderOf, readDate } from '#domain/csv/dates.ts';
import { fieldOfHeading } from '#domain/csv/headings.ts';
import { currencyIn, withoutCurrency } from '#domain/csv/money.ts';
import { decimalSignOf, readNumber, toMinor, toNumber } from '#domain/csv/numbers.ts';
import { toGrams, weightUnitIn, withoutWeightUnit } from '#domain/csv/weights.ts';
import { whoseOf } from '#domain/csv/whose-words.ts';

describe('numbers', () => {
  it.each([
    ['1.234,50', ','],
    ['1,234.50', '.'],
    ['1.234.567', ','],
    ['12,5', ','],
    ['12.50', '.'],
    ['0.500', '.'],
    ['1 234,50', ','],
    ["1'234.50", '.'],
    ['1.234', null],
    ['12', null],
    ['twelve', null],
    ['1,-', null],
  ])('“%s” shows the decimal sign %s', (text, sign) => {
    expect(decimalSignOf(text)).toBe(sign);
  });

  it.each([
    ['1.234,50', ',', 1234.5],
    ['1.234', ',', 1234],
    ['1.234', '.', 1.234],
    ['1 234,50', ',', 1234.5],
    ["1'234.50", '.', 1234.5],
    ['250,-', ',', 250],
    ['−3,5', ',', -3.5],
    [',5', ',', 0.5],
    ['1.23', ',', null],
    ['1.2345,6', ',', null],
    ['12.34.5', '.', null],
    ['about 5', '.', null],
    ['', '.', null],
  ] as const)('“%s” with “%s” before the decimals is %s', (text, sign, number) => {
    const written = readNumber(text, sign);
    expect(written === null ? null : toNumber(written)).toBe(number);
  });

  it('every amount written in either custom is read back to the cent', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000_000_00 }),
        fc.constantFrom('en-GB', 'de-DE', 'fr-FR', 'de-CH', 'pt-PT'),
        (minor, locale) => {
          const text = new Intl.NumberFormat(locale, { minimumFractionDigits: 2 }).format(minor / 100);
          const sign = locale === 'en-GB' || locale === 'de-CH' ? '.' : ',';
          const written = readNumber(text, sign);
          expect(written === null ? null : toMinor(written, 2)).toBe(minor);
        },
      ),
    );
  });

  it('rounds half up to the minor unit, and says no beyond what is exact', () => {
    const minor = (text: string, digits: number) => {
      const written = readNumber(text, '.');
      return written === null ? null : toMinor(written, digits);
    };
    expect(minor('12.345', 2)).toBe(1235);
    expect(minor('12.344', 2)).toBe(1234);
    expect(minor('1200.5', 0)).toBe(1201);
    expect(minor('9'.repeat(20), 2)).toBeNull();
  });
});

describe('dates', () => {
  it.each([
    ['2024-03-04', 'dmy', '2024-03-04'],
    ['20240304', 'mdy', '2024-03-04'],
    ['2024/3/4', 'mdy', '2024-03-04'],
    ['2024-03-04T10:20:30Z', 'dmy', '2024-03-04'],
    ['03/04/2024', 'dmy', '2024-04-03'],
    ['03/04/2024', 'mdy', '2024-03-04'],
    ['3.4.24', 'dmy', '2024-04-03'],
    ['31-12-99', 'dmy', '1999-12-31'],
    ['4/3/24 0:00', 'mdy', '2024-04-03'],
    ['3 April 2024', 'mdy', '2024-04-03'],
    ['April 3rd, 2024', 'dmy', '2024-04-03'],
    ['3. März 2024', 'dmy', '2024-03-03'],
    ['1er février 2023', 'dmy', '2023-02-01'],
    ['12 août 2021', 'dmy', '2021-08-12'],
    ['5 de diciembre de 2020', 'dmy', '2020-12-05'],
    ['7 gennaio 2022', 'dmy', '2022-01-07'],
    ['2 de outubro de 2019', 'dmy', '2019-10-02'],
    ['1 mei 2018', 'dmy', '2018-05-01'],
    ['03/2024', 'dmy', '2024-03-01'],
    ['2019', 'dmy', '2019-01-01'],
    ['29.02.2024', 'dmy', '2024-02-29'],
    ['29.02.2023', 'dmy', null],
    ['13/13/2024', 'dmy', null],
    ['31/04/2024', 'dmy', null],
    ['12/31/2024', 'dmy', null],
    ['soon', 'dmy', null],
    ['3 Foo 2024', 'dmy', null],
    ['1/1/1850', 'dmy', null],
  ] as const)('“%s” (%s) is %s', (text, order, date) => {
    expect(readDate(text, order)).toBe(date);
  });

  it.each([
    ['25/12/2024', 'dmy'],
    ['12/25/2024', 'mdy'],
    ['03/04/2024', null],
    ['3.4.2024', 'dmy'],
    ['2024-12-25', null],
  ])('“%s” shows the order %s', (text, order) => {
    expect(dateOrderOf(text)).toBe(order);
  });

  it('every day since 1970 written in either order, by number or by name, is read back', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 24_000 }), (day) => {
        const date = new Date(day * 86_400_000);
        const iso = date.toISOString().slice(0, 10);
        const write = (locale: string, month: 'numeric' | 'long') =>
          new Intl.DateTimeFormat(locale, { day: 'numeric', month, year: 'numeric', timeZone: 'UTC' }).format(
            date,
          );
        expect(readDate(write('en-GB', 'numeric'), 'dmy')).toBe(iso);
        expect(readDate(write('en-US', 'numeric'), 'mdy')).toBe(iso);
        for (const locale of ['en', 'de', 'fr', 'es', 'it', 'pt', 'nl'])
          expect(readDate(write(locale, 'long'), 'dmy')).toBe(iso);
      }),
    );
  });
});

describe('money', () => {
  it.each([
    ['1.234,50 €', 'EUR', 'EUR', '1.234,50'],
    ['€ 12', 'USD', 'EUR', '12'],
    ['$1,200', 'EUR', 'USD', '1,200'],
    ['$1,200', 'CAD', 'CAD', '1,200'],
    ['kr 500', 'NOK', 'NOK', '500'],
    ['500 kr.', 'EUR', 'SEK', '500'],
    ['CHF 90.–', 'EUR', 'CHF', '90.–'],
    ['90 Fr.', 'EUR', 'CHF', '90'],
    ['£5', 'EUR', 'GBP', '5'],
    ['12', 'EUR', null, '12'],
    ['Price (GBP)', 'EUR', 'GBP', null],
    ['Price', 'EUR', null, null],
  ])('“%s” with the outfit in %s names %s', (text, home, currency, amount) => {
    expect(currencyIn(text, home)).toBe(currency);
    if (amount !== null) expect(withoutCurrency(text)).toBe(amount);
  });
});

describe('weights', () => {
  // The international pound is exactly 0.45359237 kg: NIST SP 811, appendix B.8.
  it.each([
    ['1,2 kg', 'kg', '1,2', 1.2, 1200],
    ['850g', 'g', '850', 850, 850],
    ['10 lbs', 'lb', '10', 10, 4536],
    ['16 oz.', 'oz', '16', 16, 454],
  ] as const)('%s', (text, unit, number, value, grams) => {
    expect(weightUnitIn(text)).toBe(unit);
    expect(withoutWeightUnit(text)).toBe(number);
    expect(toGrams(value, unit)).toBe(grams);
  });

  it('a heading names its unit, a word that holds the letters does not', () => {
    expect(weightUnitIn('Gewicht (kg)')).toBe('kg');
    expect(weightUnitIn('Weight')).toBeNull();
  });
});

describe('countries and whose', () => {
  // Codes from ISO 3166-1 alpha-2.
  it.each([
    ['Portugal', 'PT'],
    ['Deutschland', 'DE'],
    ['États-Unis', 'US'],
    ['Giappone', 'JP'],
    ['cn', 'CN'],
    ['Atlantis', null],
  ])('%s is %s', (text, code) => {
    expect(countryOf(text, makeCountryTable())).toBe(code);
  });
  it.each([
    ['Own', 'ours'],
    ['gemietet', 'rented-in'],
    ['Emprunté', 'borrowed'],
    ['Kunde', 'client'],
    ['maybe', null],
  ])('%s is %s', (text, whose) => {
    expect(whoseOf(text)).toBe(whose);
  });
});

describe('headings', () => {
  it.each([
    ['Serial No.', 'serial'],
    ['S/N', 'serial'],
    ['Seriennummer', 'serial'],
    ['Serien-Nr.', 'serial'],
    ['N° de série', 'serial'],
    ['Número de serie', 'serial'],
    ['Matricola', 'serial'],
    ['Nº de série', 'serial'],
    ['Serienummer', 'serial'],
    ['SERIAL #', 'serial'],
    ['Hersteller', 'maker'],
    ['Marque', 'maker'],
    ['Merk', 'maker'],
    ['Make', 'maker'],
    ['Modell', 'model'],
    ['Référence', 'model'],
    ['Type', 'model'],
    ['Gerät', 'name'],
    ['Désignation', 'name'],
    ['Nombre', 'name'],
    ['Naam', 'name'],
    ['Menge', 'number'],
    ['Stück', 'number'],
    ['Qté', 'number'],
    ['Cantidad', 'number'],
    ['Aantal', 'number'],
    ['Qty', 'number'],
    ['Kaufpreis (€)', 'purchase-price'],
    ['Prix d’achat', 'purchase-price'],
    ["Prix d'achat HT", 'purchase-price'],
    ['Precio', 'purchase-price'],
    ['Kaufdatum', 'purchased-on'],
    ['Date d’achat', 'purchased-on'],
    ['Purchase Date', 'purchased-on'],
    ['Neuwert', 'replacement-value'],
    ['Replacement value [EUR]', 'replacement-value'],
    ['Valeur', 'replacement-value'],
    ['Lagerort', 'home'],
    ['Emplacement', 'home'],
    ['Case', 'home'],
    ['Locatie', 'home'],
    ['Kategorie', 'class'],
    ['Catégorie', 'class'],
    ['Gewicht [kg]', 'weight'],
    ['Bemerkungen', 'note'],
    ['Inventar-Nr.', 'tag'],
    ['Barcode', 'tag'],
    ['Serial number camera', 'serial'],
    ['Placement test', 'nothing'],
    ['Flurb', 'nothing'],
    ['', 'nothing'],
  ])('“%s” is %s', (heading, field) => {
    expect(fieldOfHeading(heading).field).toBe(field);
  });
});
