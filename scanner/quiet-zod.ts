// The page's content policy forbids code made from text, and zod would try. This has to be the first import of the
// page: schemas look at this setting when they are made.
import { z } from 'zod';

z.config({ jitless: true });
