// Imported before all else: the page's security policy forbids making code from text, so schemas must not try it.
import { z } from 'zod';

z.config({ jitless: true });
