// A person or company that can have gear: client, rental house, repairer, insurer, crew. A party is a place, too.
import { z } from 'zod';
import { placeIdSchema } from './ids.ts';
import { cleanText } from './movement.ts';

export const PARTY_ROLES = ['client', 'rental-house', 'repairer', 'insurer', 'crew', 'other'] as const;

export const partyFactsSchema = z.strictObject({
  name: cleanText(300).min(1, 'a party needs a name'),
  role: z.enum(PARTY_ROLES),
  contact: cleanText(300).nullable(),
  email: cleanText(320).nullable(),
  phone: cleanText(80).nullable(),
  address: cleanText(1_000).nullable(),
  note: cleanText(4_000).nullable(),
});
export type PartyFacts = z.infer<typeof partyFactsSchema>;
export const partySchema = partyFactsSchema.extend({ id: placeIdSchema, version: z.int() });
export type Party = z.infer<typeof partySchema>;
