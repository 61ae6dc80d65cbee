// The facts of a thing of which nothing is known but its name, to be spread under what a test is about.
import { PLAIN_FACTS, type ThingFacts } from '#domain/thing.ts';

export const plainFacts: ThingFacts = { ...PLAIN_FACTS, name: 'Marsh lamp' };
