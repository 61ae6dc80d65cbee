// Whose a thing is, as people write it. Common usage, no published source.
import { squeeze } from '../fold.ts';
import type { Whose } from '../thing.ts';

const WRITTEN: Readonly<Record<Whose, string>> = {
  ours:
    'ours, own, owned, mine, yes, us, eigen, eigene, eigentum, eigenes, unser, ja, propre, à nous, propriété, oui, propio, nuestro, ' +
    'sí, proprio, nostro, di proprietà, sì, próprio, nosso, sim, eigendom, van ons, egen, eget, własny',
  'rented-in':
    'rented in, rented, hired, hire, rental, gemietet, miete, mietgerät, loué, location, alquilado, alquiler, noleggio, noleggiato, ' +
    'alugado, aluguer, gehuurd, huur, hyrd, lejet, leid',
  borrowed:
    'borrowed, loan, on loan, lent to us, geliehen, leihgabe, ausgeliehen, emprunté, prêt, prestado, préstamo, prestato, ' +
    'in prestito, emprestado, empréstimo, geleend, bruikleen, lånad, lånt',
  client:
    "client, client's, customer, kunde, kundengerät, vom kunden, du client, cliente, del cliente, do cliente, klant, van klant, kund",
};

function readTable(): ReadonlyMap<string, Whose> {
  const table = new Map<string, Whose>();
  for (const whose of ['ours', 'rented-in', 'borrowed', 'client'] as const) {
    for (const word of WRITTEN[whose].split(',')) table.set(squeeze(word), whose);
  }
  return table;
}

const WHOSE_OF_WORD = readTable();

/** Ours, rented in, borrowed or a client's; null for a word that nobody taught us. */
export function whoseOf(text: string): Whose | null {
  return WHOSE_OF_WORD.get(squeeze(text)) ?? null;
}
