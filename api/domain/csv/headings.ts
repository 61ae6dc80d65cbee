// Headings as people write them, in the languages of crews we know of. Common usage, no published source: a
// person sees what was understood and can change it.
import { fold, squeeze } from '../fold.ts';
import type { Field } from './fields.ts';

// Written as people do; compared squeezed, so that "Serial No.", "serial-no" and "SERIALNO" are one.
const WRITTEN: Readonly<Record<Exclude<Field, 'nothing'>, string>> = {
  name:
    'name, item, item name, what, thing, equipment, gear, article, title, kit, gerät, gegenstand, bezeichnung, artikel, ' +
    'gerätebezeichnung, benennung, nom, désignation, objet, matériel, équipement, nombre, denominación, objeto, equipo, ' +
    'articulo, nome, denominazione, attrezzatura, articolo, oggetto, designação, equipamento, artigo, naam, benaming, ' +
    'apparaat, uitrusting, omschrijving artikel, navn, namn, utrustning, udstyr, nazwa, sprzęt, název',
  tag:
    'tag, tag no, tag number, tag code, code, barcode, label, label code, qr, qr code, id, item id, item no, item number, ' +
    'asset no, asset number, asset id, inventory no, inventory number, etikett, strichcode, inventarnummer, inventar nr, ' +
    'inventar, geräte nr, gerätenummer, étiquette, code barre, code-barres, n° inventaire, numéro d’inventaire, ' +
    'etiqueta, código, código de barras, n° de inventario, número de inventario, etichetta, codice, codice a barre, ' +
    'numero inventario, código de barras, nº inventário, streepjescode, inventarisnummer, kod, kode',
  maker:
    'maker, make, brand, manufacturer, mfr, mfg, vendor brand, hersteller, marke, fabrikat, produzent, marque, fabricant, ' +
    'constructeur, marca, fabricante, produttore, costruttore, casa, merk, fabrikant, producent, märke, tillverkare, ' +
    'producent, mærke, merke, výrobce',
  model:
    'model, model no, model number, type, model name, part no, part number, modell, typ, modellbezeichnung, typenbezeichnung, ' +
    'modellnummer, modèle, référence, réf, modelo, referencia, tipo, modello, riferimento, referência, typenummer, ' +
    'modelnummer, modellnamn',
  serial:
    'serial, serial no, serial number, serial #, serials, s/n, sn, ser no, ser nr, seriennummer, serien nr, serie nr, seriennr, ' +
    'fabriknummer, gerätenummer hersteller, numéro de série, n° de série, no de série, num série, série, n/s, número de serie, ' +
    'nº de serie, n° serie, num serie, serie, numero di serie, matricola, numero seriale, seriale, número de série, ' +
    'nº de série, serienummer, serienr, serie nummer, numer seryjny, nr seryjny, sériové číslo',
  description:
    'description, details, detail, specification, spec, specs, beschreibung, details, descriptif, description détaillée, ' +
    'descripción, detalle, descrizione, dettagli, descrição, detalhe, omschrijving, beschrijving, beskrivning, beskrivelse, opis',
  class:
    'class, category, kind, group, type of gear, department, kategorie, warengruppe, gruppe, klasse, art, gattung, ' +
    'catégorie, famille, genre, groupe, classe, categoría, grupo, familia, clase, categoria, gruppo, famiglia, ' +
    'família, categorie, groep, soort, kategori, grupp, kategoria',
  number:
    'number, quantity, qty, count, pieces, pcs, amount of pieces, how many, no of, units, anzahl, menge, stück, stk, stückzahl, ' +
    'quantité, qté, nombre de pièces, pièces, nb, cantidad, cant, unidades, uds, piezas, quantità, qta, q.tà, pezzi, ' +
    'numero pezzi, quantidade, qtd, qtde, peças, aantal, stuks, hoeveelheid, antal, antall, ilość, množství, x',
  home:
    'home, lives in, place, location, where, stored in, storage, case, bag, shelf, box, drawer, bin, lagerort, lagerplatz, ort, ' +
    'standort, platz, koffer, kiste, regal, fach, lager, emplacement, lieu, rangement, caisse, valise, étagère, stockage, ' +
    'ubicación, lugar, maleta, caja, estante, almacén, posizione, luogo, ubicazione, cassa, scaffale, magazzino, ' +
    'localização, local, mala, caixa, prateleira, plaats, locatie, koffer nr, kist, opslag, plats, sted, plassering, miejsce',
  whose:
    'whose, ownership, owned, own or hired, eigentum, besitz, propriété, propiedad, proprietà, propriedade, eigendom',
  owner:
    'owner, belongs to, owned by, eigentümer, besitzer, inhaber, propriétaire, appartient à, propietario, dueño, ' +
    'proprietario, proprietário, eigenaar, ägare, ejer, eier',
  'purchased-on':
    'purchased on, purchased, purchase date, date purchased, date of purchase, bought, bought on, date bought, date, acquired, ' +
    'date acquired, kaufdatum, gekauft, gekauft am, anschaffungsdatum, anschaffung, datum, date d’achat, acheté le, ' +
    'date acquisition, date d’acquisition, fecha de compra, fecha compra, comprado el, fecha, data di acquisto, data acquisto, ' +
    'acquistato il, data, data de compra, data da compra, comprado em, aankoopdatum, gekocht op, aanschafdatum, inköpsdatum, ' +
    'købsdato, kjøpsdato, data zakupu',
  'purchase-price':
    'price, purchase price, cost, paid, price paid, purchase cost, unit price, unit cost, kaufpreis, preis, einkaufspreis, ' +
    'anschaffungspreis, anschaffungswert, anschaffungskosten, ek, stückpreis, einzelpreis, kosten, prix, prix d’achat, coût, ' +
    'prix unitaire, precio, precio de compra, coste, costo, precio unitario, prezzo, prezzo di acquisto, prezzo acquisto, ' +
    'prezzo unitario, preço, preço de compra, custo, preço unitário, prijs, aankoopprijs, aanschafprijs, stukprijs, pris, ' +
    'inköpspris, købspris, kjøpspris, cena',
  'purchased-from':
    'purchased from, bought from, bought at, supplier, vendor, dealer, shop, seller, gekauft bei, händler, lieferant, verkäufer, ' +
    'fournisseur, acheté chez, vendeur, magasin, proveedor, comprado en, vendedor, tienda, fornitore, acquistato da, ' +
    'venditore, negozio, fornecedor, comprado a, loja, leverancier, gekocht bij, leverantör, leverandør, dostawca',
  'replacement-value':
    'replacement value, replacement cost, value, insured value, insurance value, new value, replacement, worth, ' +
    'wiederbeschaffungswert, wert, neuwert, versicherungswert, zeitwert neu, valeur, valeur de remplacement, valeur à neuf, ' +
    'valeur assurée, valor, valor de reposición, valor asegurado, valor de reemplazo, valore, valore di rimpiazzo, ' +
    'valore a nuovo, valore assicurato, valor de substituição, valor de reposição, valor segurado, waarde, vervangingswaarde, ' +
    'nieuwwaarde, verzekerde waarde, värde, værdi, verdi, wartość',
  currency: 'currency, cur, ccy, währung, whg, devise, monnaie, moneda, divisa, valuta, moeda, munt',
  weight: 'weight, mass, gewicht, masse, poids, peso, gewicht netto, vikt, vægt, vekt, waga, hmotnost',
  country:
    'country, country of origin, origin, made in, herkunftsland, ursprungsland, herkunft, land, pays, pays d’origine, origine, ' +
    'país, país de origen, origen, paese, paese di origine, país de origem, origem, land van herkomst, herkomst',
  unit: 'unit, counted in, einheit, unité, unidad, unità, unidade, eenheid, enhet',
  par: 'par, should be aboard, minimum, min, target, sollbestand, soll, mindestbestand, stock minimum, stock mini, mínimo, minimo, minimumvoorraad',
  'watt-hours':
    'wh, watt hours, watthours, energy, wattstunden, energie, wattheures, vatios hora, wattora, watt-uur',
  volts:
    'v, volt, volts, voltage, spannung, nennspannung, tension, voltaje, tensión, tensione, tensão, spanning',
  'ampere-hours':
    'ah, ampere hours, amp hours, amperestunden, kapazität, ampères-heures, amperios hora, ampere-uur',
  note:
    'note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, notiz, notizen, kommentar, anmerkung, hinweis, ' +
    'remarque, remarques, commentaire, commentaires, observations, nota, notas, observación, observaciones, comentario, ' +
    'comentarios, osservazioni, commento, note, observação, observações, comentário, opmerking, opmerkingen, notitie, uwagi',
};

/** Headings shorter than this are taken whole only: "art" begins too many words. */
const BEGINNING_LENGTH_MIN = 5;
const IN_BRACKETS = /[([{].*?[)\]}]/gu;
// "S/N", "n° de série" and "no. série" hold signs that folding drops; the ordinal sign becomes a word first.
const ORDINAL = /[n][°º]|№|#/giu;

function squeezeHeading(heading: string): string {
  return squeeze(heading.replace(IN_BRACKETS, ' ').replace(ORDINAL, 'no'));
}

function readTable(): ReadonlyMap<string, Field> {
  const table = new Map<string, Field>();
  for (const field of Object.keys(WRITTEN)) {
    if (!isNamedField(field)) continue;
    for (const heading of WRITTEN[field].split(',')) {
      const squeezed = squeezeHeading(heading);
      if (!table.has(squeezed)) table.set(squeezed, field);
    }
  }
  return table;
}

function isNamedField(text: string): text is Exclude<Field, 'nothing'> {
  return Object.hasOwn(WRITTEN, text);
}

const FIELD_OF_HEADING = readTable();

/** exact: the heading stands in our table. begins: it begins with one that does. none: nobody taught us this word. */
export type HeadingMatch = {
  readonly field: Field;
  readonly match: 'exact' | 'begins' | 'none';
};

/**
 * What a heading says its column holds. Case, accents, punctuation and what stands in brackets make no
 * difference. Where no heading of ours fits whole, the longest that begins it decides ("Serial number camera").
 */
export function fieldOfHeading(heading: string): HeadingMatch {
  const squeezed = squeezeHeading(heading);
  const exact = FIELD_OF_HEADING.get(squeezed);
  if (exact !== undefined) return { field: exact, match: 'exact' };
  for (let length = squeezed.length - 1; length >= BEGINNING_LENGTH_MIN; length -= 1) {
    const field = FIELD_OF_HEADING.get(squeezed.slice(0, length));
    if (field !== undefined && beginsAsWord(heading, squeezed.slice(0, length))) {
      return { field, match: 'begins' };
    }
  }
  return { field: 'nothing', match: 'none' };
}

// "Model colour" begins with the word "model"; "Placement" does not begin with the word "place".
function beginsAsWord(heading: string, squeezed: string): boolean {
  let soFar = '';
  for (const word of fold(heading.replace(IN_BRACKETS, ' ').replace(ORDINAL, ' no ')).split(' ')) {
    soFar += word;
    if (soFar === squeezed) return true;
  }
  return false;
}
